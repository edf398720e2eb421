/** What drawing on the map is done with: clicks, keys, and a cross that keys move. */
import { type KeyboardEvent, useEffect, useRef, useState } from 'react';
import type { DrawnPlace } from '../../core/track/drawn-boundary.ts';
import type { DraftStep } from './boundary-draft.ts';
import { ARROWS, KEY_STEP_PX, placeAt } from './boundary-handles.tsx';
import type { FieldMapView } from './field-map-view.ts';

/** Nearer than this to the first corner a click closes the ring, px. */
const CLOSE_PX = 11;
/** Two clicks of a double click are nearer than this, px. */
const SAME_PX = 5;

/** What a click at a pixel means for the ring that is being drawn; undefined: nothing. */
export function stepOfClick(
  view: FieldMapView,
  open: readonly DrawnPlace[],
  x: number,
  y: number,
): DraftStep | undefined {
  const isNear = (place: DrawnPlace | undefined, reach: number) => {
    if (place === undefined) return false;
    const at = view.map.project([place[0], place[1]]);
    return Math.hypot(at.x - x, at.y - y) < reach;
  };
  if (open.length > 0 && isNear(open.at(-1), SAME_PX)) return undefined;
  if (open.length >= 3 && isNear(open[0], CLOSE_PX)) return { kind: 'close_ring' };
  return { kind: 'add_corner', place: placeAt(view, x, y) };
}

/** Keys while nothing else in the window has the focus: `onKey` says whether it was meant. */
export function useKeysOnMap(view: FieldMapView, onKey: (event: globalThis.KeyboardEvent) => boolean): void {
  const latest = useRef(onKey);
  latest.current = onKey;
  useEffect(() => {
    const whole = view.map.getContainer().parentElement;
    const press = (event: globalThis.KeyboardEvent) => {
      const isHere =
        event.target === document.body || (event.target instanceof Node && whole?.contains(event.target));
      if (!isHere || !latest.current(event)) return;
      event.preventDefault();
      event.stopPropagation();
    };
    addEventListener('keydown', press, { capture: true });
    return () => removeEventListener('keydown', press, { capture: true });
  }, [view]);
}

/** Clicks and the pointer on the map while a ring is drawn; a double click does not zoom then. */
export function useMapClicks(
  view: FieldMapView,
  isDrawing: boolean,
  onPlace: (x: number, y: number) => void,
  onMove: (place: DrawnPlace | null) => void,
  onDouble: () => void,
): void {
  const latest = useRef({ onPlace, onMove, onDouble });
  latest.current = { onPlace, onMove, onDouble };
  useEffect(() => {
    if (!isDrawing) return;
    const { map } = view;
    const click = map.on('click', ({ point }) => latest.current.onPlace(point.x, point.y));
    const move = map.on('mousemove', ({ point }) => latest.current.onMove(placeAt(view, point.x, point.y)));
    const double = map.on('dblclick', () => latest.current.onDouble());
    map.doubleClickZoom.disable();
    return () => {
      for (const subscription of [click, move, double]) subscription.unsubscribe();
      map.doubleClickZoom.enable();
      latest.current.onMove(null);
    };
  }, [view, isDrawing]);
}

interface CrosshairProps {
  readonly view: FieldMapView;
  readonly onPlace: (x: number, y: number) => void;
  readonly onMove: (place: DrawnPlace) => void;
}

/** A cross that arrow keys move over the map and Space sets corners with. */
export function Crosshair({ view, onPlace, onMove }: CrosshairProps) {
  const { clientWidth, clientHeight } = view.map.getContainer();
  const [at, setAt] = useState({ x: clientWidth / 2, y: clientHeight / 2 });
  const [hasFocus, setFocus] = useState(false);
  const press = (event: KeyboardEvent) => {
    const size = event.shiftKey ? KEY_STEP_PX.fine : KEY_STEP_PX.plain;
    const way = ARROWS[event.key];
    if (way) {
      const x = Math.min(Math.max(at.x + way[0] * size, 0), clientWidth);
      const y = Math.min(Math.max(at.y + way[1] * size, 0), clientHeight);
      setAt({ x, y });
      onMove(placeAt(view, x, y));
    } else if (event.key === ' ') onPlace(at.x, at.y);
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return (
    // biome-ignore lint/a11y/useSemanticElements: a place in a drawing, no form's button
    <g
      role="button"
      tabIndex={0}
      aria-label="Cross for corners: arrows move it, Space sets a corner"
      className="crosshair"
      data-focus={hasFocus}
      transform={`translate(${at.x} ${at.y})`}
      onKeyDown={press}
      onFocus={() => setFocus(true)}
      onBlur={() => setFocus(false)}
    >
      <path d="M-14 0H-4M4 0H14M0-14V-4M0 4V14" />
    </g>
  );
}

export function linePath(places: readonly { readonly x: number; readonly y: number }[]): string {
  return `M${places.map(({ x, y }) => `${x} ${y}`).join('L')}`;
}
