/** Classes of the surface's yields: how they are made, their limits, and their ground. */

import { MOST_CLASSES, USUAL_CLASSES } from '../../../core/surface/classes.ts';
import type { SurfaceSheet } from '../../../core/surface/surface-sheet.ts';
import { MOST_SHARE } from '../../../core/surface/zone-lines.ts';
import { LEAST_AREA_M2 } from '../../../core/surface/zones.ts';
import { M2_PER_HA } from '../../../core/units.ts';
import { classesOfSurface, useStillSheet, zonesOfSurface } from '../../session/surface-zones.ts';
import type { ShownSurface, Surfaces } from '../../session/surfaces.ts';
import { area, type Quantity, type UnitSystem } from '../../text/quantities.ts';
import { counted } from '../../text/words.ts';
import { Pairs, Switch } from '../panel.tsx';
import { CLASS_METHODS, CLASS_REASONS, CLASS_WORDS, USUAL_METHOD } from './class-words.ts';
import { SettingEntry } from './setting-entry.tsx';
import type { ShownUnit, SurfaceUnits } from './surface-units.ts';

interface ClassFormProps {
  readonly surfaces: Surfaces;
  readonly surface: ShownSurface;
  readonly sheet: SurfaceSheet;
  readonly isZoned: boolean;
  readonly units: UnitSystem;
  readonly shown: SurfaceUnits;
  readonly yieldUnit: ShownUnit;
  readonly yieldWords: (yield_kg_m2: number) => Quantity;
}

export function ClassForm(props: ClassFormProps) {
  const { surfaces, surface, sheet, yieldWords, units } = props;
  const { limits_kg_m2, area_m2 } = classesOfSurface(surface, sheet);
  const method = sheet.classes?.method ?? USUAL_METHOD;
  return (
    <section>
      <h3>
        Classes <span className="quiet">in all fields</span>
      </h3>
      <p className="row">
        <label>
          By{' '}
          <select
            value={method}
            onChange={({ target }) => {
              const chosen = CLASS_METHODS.find((one) => one === target.value) ?? USUAL_METHOD;
              surfaces.look({ isClassed: true });
              surfaces.try({
                classes: {
                  method: chosen === USUAL_METHOD ? null : chosen,
                  limits_kg_m2: chosen === 'user' ? limits_kg_m2 : null,
                  ...(chosen === 'user' ? { count: null } : {}),
                },
              });
            }}
          >
            {CLASS_METHODS.map((one) => (
              <option key={one} value={one}>
                {CLASS_WORDS[one]}
                {one === USUAL_METHOD ? ' (default)' : ''}
              </option>
            ))}
          </select>
        </label>
      </p>
      <p className="hint-line">{CLASS_REASONS[method]}</p>
      {method === 'user' ? (
        <LimitEntries {...props} limits_kg_m2={limits_kg_m2} />
      ) : (
        <SettingEntry
          surfaces={surfaces}
          label="Number of classes"
          isWhole
          entered={sheet.classes?.count}
          fallback={USUAL_CLASSES}
          within={[1, MOST_CLASSES]}
          changeFor={(count) => ({ classes: { count } })}
        >
          Default {USUAL_CLASSES}: as many as an eye tells apart on a map at a glance.
        </SettingEntry>
      )}
      <Pairs
        of={area_m2.map((ground_m2, k) => [
          classWords(limits_kg_m2, k, yieldWords),
          area(ground_m2 / M2_PER_HA, units),
        ])}
      />
      <ZoneEntries {...props} />
    </section>
  );
}

/** Limits by hand, each with a way to take it out; the last can be doubled up. */
function LimitEntries({
  surfaces,
  yieldUnit,
  limits_kg_m2,
}: ClassFormProps & { readonly limits_kg_m2: readonly number[] }) {
  const setLimits = (limits: readonly number[]) => ({
    classes: { method: 'user' as const, limits_kg_m2: limits },
  });
  return (
    <div className="limits">
      {limits_kg_m2.map((limit, k) => (
        <SettingEntry
          // biome-ignore lint/suspicious/noArrayIndexKey: a limit is the same one whatever it is set to
          key={k}
          surfaces={surfaces}
          label={`Limit ${k + 1}`}
          unit={yieldUnit}
          entered={limit}
          fallback={limit}
          within={roomOf(limits_kg_m2, k)}
          changeFor={(to) =>
            setLimits(to === null ? limits_kg_m2.filter((_, i) => i !== k) : limits_kg_m2.with(k, to))
          }
        />
      ))}
      <div className="row">
        <button
          type="button"
          className="framed"
          disabled={limits_kg_m2.length >= MOST_CLASSES - 1}
          onClick={() => surfaces.try(setLimits([...limits_kg_m2, nextLimit(limits_kg_m2)]))}
        >
          Add a limit
        </button>
        <span className="quiet">Reset takes a limit out.</span>
      </div>
    </div>
  );
}

const MOST_KG_M2 = 100;

/** Between its neighbours, which it must not reach. */
function roomOf(limits: readonly number[], k: number): readonly [number, number] {
  const beside = 1e-6;
  return [(limits[k - 1] ?? -beside) + beside, (limits[k + 1] ?? MOST_KG_M2 + beside) - beside];
}

/** As far above the last as that is above the one before. */
export function nextLimit(limits: readonly number[]): number {
  const last = limits.at(-1) ?? 0;
  const step = last - (limits.at(-2) ?? 0);
  return Math.min(last + (step > 0 ? step : 0.1), MOST_KG_M2);
}

function ZoneEntries({ surfaces, surface, sheet, isZoned, shown, units }: ClassFormProps) {
  const still = useStillSheet(sheet);
  const zones = isZoned ? zonesOfSurface(surface, still) : null;
  const most_m = MOST_SHARE * surface.cell_m;
  return (
    <>
      <h3 className="spaced">
        Zones
        {zones !== null && (
          <span className="quiet">
            {counted(zones.zones.length, 'zone')}
            {zones.merged > 0 && `, ${counted(zones.merged, 'small patch', 'small patches')} merged`}
          </span>
        )}
      </h3>
      <Switch
        label="Zones on the map: lines around ground of one class"
        isOn={isZoned}
        onChange={(isOn) => surfaces.look({ isZoned: isOn })}
      />
      <SettingEntry
        surfaces={surfaces}
        label="Smallest zone"
        unit={shown.area}
        entered={sheet.zones?.least_area_m2}
        fallback={LEAST_AREA_M2}
        within={[0, 1_000_000]}
        changeFor={(least_area_m2) => ({ zones: { least_area_m2 } })}
      >
        Default {area(LEAST_AREA_M2 / M2_PER_HA, units).number} {area(1, units).unit}: about two cut widths
        square, below which no machine can act. Smaller patches go to the neighbour they share most line with.
      </SettingEntry>
      <SettingEntry
        surfaces={surfaces}
        label="Lines may leave the cells by"
        unit={shown.length}
        entered={sheet.zones?.tolerance_m}
        fallback={most_m}
        within={[0, 500]}
        changeFor={(tolerance_m) => ({ zones: { tolerance_m } })}
      >
        Default and most: about a third of a cell, which rounds the steps off. 0 follows the cells’ sides.
      </SettingEntry>
    </>
  );
}

/** `below 40`, `40 to 55`, `55 and more`, in the unit shown. */
export function classWords(
  limits: readonly number[],
  k: number,
  shown: (yield_kg_m2: number) => Quantity,
): string {
  if (limits.length === 0) return 'all';
  if (k === 0) return `below ${shown(limits[0]).number} ${shown(limits[0]).unit}`;
  if (k === limits.length) return `${shown(limits[k - 1]).number} ${shown(limits[k - 1]).unit} and more`;
  return `${shown(limits[k - 1]).number} to ${shown(limits[k]).number} ${shown(limits[k]).unit}`;
}
