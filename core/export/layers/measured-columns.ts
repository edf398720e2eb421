/** Columns of measured quantities in the units that were chosen, each with its unit in both of its names. */
import {
  acresFromM2,
  buAcFromKgM2,
  ftFromM,
  haFromM2,
  lbFromKg,
  lFromM3,
  M_PER_FT,
  M2_PER_ACRE,
  mphFromMPerS,
  tHaFromKgM2,
} from '../../units.ts';
import type { NumberColumn } from './layer.ts';
import type { LayerUnits } from './layer-choice.ts';

/** A column as it is named in one system of units. */
interface Unit {
  readonly name: string;
  readonly short_name: string;
  readonly digits: number;
  readonly from: (si: number) => number;
}

/** A quantity that both systems have one unit for. */
export type Quantity =
  | 'mass_flow'
  | 'volume_flow'
  | 'speed'
  | 'cut_width'
  | 'distance'
  | 'swath_area'
  | 'zone_area';

const lbAcFromKgM2 = (yield_kg_m2: number) => lbFromKg(yield_kg_m2 * M2_PER_ACRE);
const ft3FromM3 = (volume_m3: number) => volume_m3 / M_PER_FT ** 3;
const ft2FromM2 = (area_m2: number) => area_m2 / M_PER_FT ** 2;
const same = (si: number) => si;

/** Digits are well below what can be measured. */
const UNITS: Readonly<Record<Quantity, Readonly<Record<LayerUnits, Unit>>>> = {
  mass_flow: {
    metric: { name: 'mass_flow_kg_s', short_name: 'mflow_kg_s', digits: 3, from: same },
    us: { name: 'mass_flow_lb_s', short_name: 'mflow_lb_s', digits: 3, from: lbFromKg },
  },
  volume_flow: {
    metric: { name: 'volume_flow_l_s', short_name: 'vflow_l_s', digits: 3, from: lFromM3 },
    us: { name: 'volume_flow_ft3_s', short_name: 'vflow_ft3s', digits: 4, from: ft3FromM3 },
  },
  speed: {
    metric: { name: 'speed_m_s', short_name: 'speed_m_s', digits: 3, from: same },
    us: { name: 'speed_mph', short_name: 'speed_mph', digits: 3, from: mphFromMPerS },
  },
  cut_width: {
    metric: { name: 'cut_width_m', short_name: 'width_m', digits: 3, from: same },
    us: { name: 'cut_width_ft', short_name: 'width_ft', digits: 3, from: ftFromM },
  },
  distance: {
    metric: { name: 'distance_m', short_name: 'dist_m', digits: 3, from: same },
    us: { name: 'distance_ft', short_name: 'dist_ft', digits: 3, from: ftFromM },
  },
  swath_area: {
    metric: { name: 'area_m2', short_name: 'area_m2', digits: 3, from: same },
    us: { name: 'area_ft2', short_name: 'area_ft2', digits: 2, from: ft2FromM2 },
  },
  zone_area: {
    metric: { name: 'area_ha', short_name: 'area_ha', digits: 4, from: haFromM2 },
    us: { name: 'area_ac', short_name: 'area_ac', digits: 4, from: acresFromM2 },
  },
};

/** A quantity of the rows, given in SI. */
export function quantityColumn(
  quantity: Quantity,
  units: LayerUnits,
  si: Float64Array,
  about: string,
): NumberColumn {
  const { name, short_name, digits, from } = UNITS[quantity][units];
  return { kind: 'real', name, short_name, about, digits, numbers: si.map(from) };
}

/** What yields are given as in each system: by weight, and in bushels where the crop has one (else NaN). */
export interface YieldNames {
  /** `yield`, with the unit behind it: `yield_t_ha`. */
  readonly name: string;
  /** The same for names of ten characters. */
  readonly short_name: string;
  readonly about: string;
}

/** Bushels come first in US units, and second, for the contract's sake, in metric ones. */
export function yieldColumns(
  yield_kg_m2: Float64Array,
  bushel_kg: number,
  units: LayerUnits,
  { name, short_name, about }: YieldNames,
): readonly NumberColumn[] {
  const column = (unit: string, digits: number, from: (yield_kg_m2: number) => number): NumberColumn => ({
    kind: 'real',
    name: `${name}_${unit}`,
    short_name: `${short_name}_${unit}`,
    about,
    digits,
    numbers: yield_kg_m2.map(from),
  });
  const bushels = column('bu_ac', 2, (kg_m2) => buAcFromKgM2(kg_m2, bushel_kg));
  return units === 'metric'
    ? [column('t_ha', 3, tHaFromKgM2), bushels]
    : [bushels, column('lb_ac', 1, lbAcFromKgM2)];
}
