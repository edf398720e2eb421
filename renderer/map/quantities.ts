/** What the map can be coloured by: its column, and how it is shown in US and metric units. */
import { type UnitSystem, yieldScale } from '../../core/export/report/figures.ts';
import {
  KG_PER_LB,
  KG_PER_TONNE,
  M_PER_FT,
  M_PER_MILE,
  M2_PER_HA,
  M3_PER_L,
  S_PER_HOUR,
} from '../../core/units.ts';
import type { FieldColumns, MapQuantity } from './types.ts';

/** A quantity as it is shown: displayed number = stored number × `per_si`. */
export interface ShownQuantity {
  readonly name: string;
  readonly unit: string;
  readonly per_si: number;
  /** Digits after the point in a readout. */
  readonly digits: number;
}

const COLUMNS = {
  yield: 'yield_kg_m2',
  yield_se: 'yield_se_kg_m2',
  moisture: 'moisture_pct',
  mass_flow: 'mass_flow_kg_s',
  volume_flow: 'volume_flow_m3_s',
  speed: 'speed_m_s',
  cut_width: 'cut_width_m',
  fresh_area: 'fresh_area_m2',
} as const satisfies Readonly<Record<MapQuantity, keyof FieldColumns>>;

export const MAP_QUANTITIES = Object.keys(COLUMNS) as readonly MapQuantity[];

/** The stored column of a quantity, SI. */
export function columnOf(columns: FieldColumns, quantity: MapQuantity): Float64Array {
  return columns[COLUMNS[quantity]];
}

/** How `quantity` is shown in `units`; yields in bu/ac where the crop has a bushel weight, else in lb/ac. */
export function shownQuantity(
  quantity: MapQuantity,
  units: UnitSystem,
  bushel_kg = Number.NaN,
): ShownQuantity {
  const us = units === 'us';
  switch (quantity) {
    case 'yield':
      return { name: 'Yield', ...shownYield(units, bushel_kg) };
    case 'yield_se':
      return { name: 'Standard error of yield', ...shownYield(units, bushel_kg) };
    case 'moisture':
      return { name: 'Moisture', unit: '%', per_si: 1, digits: 1 };
    case 'mass_flow':
      return us
        ? { name: 'Grain flow', unit: 'lb/s', per_si: 1 / KG_PER_LB, digits: 1 }
        : { name: 'Grain flow', unit: 'kg/s', per_si: 1, digits: 1 };
    case 'volume_flow':
      return us
        ? { name: 'Volume flow', unit: 'ft³/min', per_si: 60 / M_PER_FT ** 3, digits: 1 }
        : { name: 'Volume flow', unit: 'L/s', per_si: 1 / M3_PER_L, digits: 2 };
    case 'speed':
      return us
        ? { name: 'Speed', unit: 'mph', per_si: S_PER_HOUR / M_PER_MILE, digits: 1 }
        : { name: 'Speed', unit: 'm/s', per_si: 1, digits: 2 };
    case 'cut_width':
      return us
        ? { name: 'Cut width', unit: 'ft', per_si: 1 / M_PER_FT, digits: 1 }
        : { name: 'Cut width', unit: 'm', per_si: 1, digits: 2 };
    case 'fresh_area':
      return us
        ? { name: 'Fresh ground', unit: 'ft²', per_si: 1 / M_PER_FT ** 2, digits: 0 }
        : { name: 'Fresh ground', unit: 'm²', per_si: 1, digits: 1 };
  }
}

function shownYield(units: UnitSystem, bushel_kg: number) {
  const { unit, digits, from } = yieldScale(units, bushel_kg);
  // 1 kg/m² in t/ha; every yield scale is a plain factor.
  return { unit, digits, per_si: from(M2_PER_HA / KG_PER_TONNE) };
}
