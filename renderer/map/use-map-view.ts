/** The map's life: made once with its place on the page, gone with it. */
import { type RefObject, useEffect, useState } from 'react';
import { FieldMapView } from './field-map-view.ts';
import { themeColours } from './theme-colours.ts';

export type MapLife =
  | { readonly state: 'starting' }
  | { readonly state: 'alive'; readonly view: FieldMapView }
  | { readonly state: 'failed'; readonly why: string };

export function useMapView(place: RefObject<HTMLDivElement | null>): MapLife {
  const [life, setLife] = useState<MapLife>({ state: 'starting' });
  useEffect(() => {
    if (!place.current) return;
    let view: FieldMapView | undefined;
    try {
      view = new FieldMapView(place.current, themeColours(place.current));
      setLife({ state: 'alive', view });
    } catch (fault) {
      setLife({ state: 'failed', why: fault instanceof Error ? fault.message : String(fault) });
    }
    return () => view?.remove();
  }, [place]);
  return life;
}
