/** Classes of the surface's yields, and the zones that they make. */

import type { Patch } from '../../../core/edits/season-edit.ts';
import type { SurfaceSheet } from '../../../core/surface/surface-sheet.ts';
import { tHaFromKgM2 } from '../../../core/units.ts';
import { zonesOfSurface } from '../../session/surface-zones.ts';
import { type ShownSurface, surfacesOf } from '../../session/surfaces.ts';
import { area, type Quantity, yieldOf } from '../../text/quantities.ts';
import { counted } from '../../text/words.ts';
import { NumberEntry, Pairs, type StepContext, Switch } from '../panel.tsx';
import { surfaceUnits } from './surface-units.ts';

const METHODS = [
  ['natural', 'natural breaks (default)'],
  ['quantile', 'equal ground'],
  ['equal', 'equal steps'],
  ['standard_deviation', 'standard deviations'],
] as const;
const USUAL = { count: 5, least_area_m2: 500 };

interface ZoneFormProps extends Pick<StepContext, 'session' | 'units' | 'bushel_kg'> {
  readonly surface: ShownSurface;
  readonly sheet: SurfaceSheet;
  readonly isZoned: boolean;
}

export function ZoneForm({ session, surface, sheet, isZoned, units, bushel_kg }: ZoneFormProps) {
  const set = (change: Patch<SurfaceSheet>) => void session.edit({ kind: 'set_surface', change });
  const zones = zonesOfSurface(surface, sheet);
  if (zones === null) return null;
  const { limits_kg_m2 } = zones;
  const ground = surfaceUnits(units, bushel_kg).area;
  const shown = (yield_kg_m2: number) => yieldOf(tHaFromKgM2(yield_kg_m2), bushel_kg, units);
  const rows = Array.from({ length: limits_kg_m2.length + 1 }, (_, k): readonly [string, Quantity] => {
    const ofClass = zones.zones.filter((zone) => zone.class === k);
    const covered_ha = ofClass.reduce((sum, { area_m2 }) => sum + area_m2, 0) / 10_000;
    return [
      `${classWords(limits_kg_m2, k, shown)} · ${counted(ofClass.length, 'zone')}`,
      area(covered_ha, units),
    ];
  });
  return (
    <section>
      <Switch
        label="Zones on the map"
        isOn={isZoned}
        onChange={(isOn) => surfacesOf(session).showZones(isOn)}
      />
      <Pairs of={rows} />
      <p className="row">
        <label>
          Classes by{' '}
          <select
            value={sheet.classes?.method ?? 'natural'}
            onChange={({ target }) => {
              const method = METHODS.find(([one]) => one === target.value)?.[0] ?? 'natural';
              set({ classes: { method: method === 'natural' ? null : method, limits_kg_m2: null } });
            }}
          >
            {METHODS.map(([method, words]) => (
              <option key={method} value={method}>
                {words}
              </option>
            ))}
            {sheet.classes?.method === 'user' && <option value="user">limits of the sheet</option>}
          </select>
        </label>
      </p>
      <div className="measure">
        <NumberEntry
          label="Number of classes"
          unit=""
          step={1}
          entered={sheet.classes?.count}
          fallback={USUAL.count}
          onEnter={(count) => set({ classes: { count } })}
        />
      </div>
      <div className="measure">
        <NumberEntry
          label="Smallest zone"
          unit={ground.unit}
          entered={
            sheet.zones?.least_area_m2 === undefined ? undefined : ground.per_si * sheet.zones.least_area_m2
          }
          fallback={ground.per_si * USUAL.least_area_m2}
          onEnter={(ground_area) =>
            set({ zones: { least_area_m2: ground_area === null ? null : ground_area / ground.per_si } })
          }
        />
      </div>
    </section>
  );
}

/** `below 40`, `40 to 55`, `55 and more`, in the unit shown. */
function classWords(limits: readonly number[], k: number, shown: (yield_kg_m2: number) => Quantity): string {
  if (limits.length === 0) return 'all';
  if (k === 0) return `below ${shown(limits[0]).number} ${shown(limits[0]).unit}`;
  if (k === limits.length) return `${shown(limits[k - 1]).number} ${shown(limits[k - 1]).unit} and more`;
  return `${shown(limits[k - 1]).number} to ${shown(limits[k]).number} ${shown(limits[k]).unit}`;
}
