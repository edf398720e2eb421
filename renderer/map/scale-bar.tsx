/** Scale bar in the user's units, and north. */
import { useSyncExternalStore } from 'react';
import { barLength } from './bar-length.ts';
import type { FieldMapView } from './field-map-view.ts';
import type { UnitSystem } from './types.ts';

export function ScaleBar({ view, units }: { readonly view: FieldMapView; readonly units: UnitSystem }) {
  const { px_per_m } = useSyncExternalStore(view.subscribe, view.camera);
  const { px, words } = barLength(px_per_m, units);
  return (
    <div className="map-scale">
      <svg width={px + 44} height={34} role="img" aria-label={`Scale bar: ${words}. North is up.`}>
        <title>{`Scale bar: ${words}. North is up.`}</title>
        <path d={`M1 24v5h${px.toFixed(1)}v-5`} className="line" />
        <text x={1 + px / 2} y={20} textAnchor="middle">
          {words}
        </text>
        <path d={`M${px + 28} 3l5.5 14-5.5-3.4-5.5 3.4z`} className="fill" />
        <text x={px + 28} y={31} textAnchor="middle">
          N
        </text>
      </svg>
    </div>
  );
}
