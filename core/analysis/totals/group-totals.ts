/** Totals by field, machine, variety, working day or load. Together with what is on no ground they are the fields' own totals. */
import { finiteOrNull } from '../../columns.ts';
import { massAtMoisture } from '../../grain/moisture.ts';
import { type FieldPoints, SCREENING_RULES, type SeasonResult } from '../../result.ts';
import type { Season } from '../../season.ts';
import { haFromM2, m2FromHa, tHaFromKgM2 } from '../../units.ts';
import { dayOfPoints } from './day-of-points.ts';

export type GroupKind = 'field' | 'machine' | 'variety' | 'day' | 'load';
/** All of them, in the order in which tables are told. */
export const GROUP_KINDS: readonly GroupKind[] = ['field', 'machine', 'variety', 'day', 'load'];

/** Of one crop: yields of different crops do not add up. */
export interface TotalsTable {
  readonly by: GroupKind;
  readonly crop: string;
  readonly rows: readonly TotalsRow[];
}

export interface TotalsRow {
  /** `remainder`: grain that ran out between points, and what belongs to groups that cut nothing; `total`: of the fields, as in summary.json. */
  readonly kind: 'group' | 'remainder' | 'total';
  readonly group: string;
  readonly area_ha: number;
  readonly mass_wet_kg: number;
  /** At each field's standard moisture. */
  readonly mass_std_kg: number;
  readonly moisture_pct: number | null;
  readonly yield_t_ha: number | null;
  readonly points: number;
  readonly points_kept: number;
}

const OUTSIDE = SCREENING_RULES.indexOf('outside_field') + 1;
/** Group of grain that went into no load with a ticket. */
export const NO_TICKET = 'no ticket';
/** Group of fields whose sheet names no variety. */
export const NO_VARIETY = 'no variety named';
const REMAINDER = 'on no ground';

interface Sums {
  area_m2: number;
  wet_kg: number;
  std_kg: number;
  water_kg: number;
  weighed_kg: number;
  points: number;
  kept: number;
}

/** One table a crop, of the fields that `isMeant` names; every field when absent. Groups in the order of their names, days of their dates. */
export function totalsBy(
  by: GroupKind,
  season: Pick<Season, 'fields' | 'machines'>,
  result: SeasonResult,
  isMeant: (field: string) => boolean = () => true,
): TotalsTable[] {
  const fields = result.points.filter(({ field }) => isMeant(field));
  const crops = [...new Set(fields.map(({ crop }) => crop))];
  const groupOf = grouping(by, season, result);
  return crops.map((crop) => {
    const own = fields.filter((points) => points.crop === crop);
    const groups = new Map<string, Sums>();
    const total = noSums();
    for (const points of own) addField(points, result, groupOf(points), groups, total);
    // a day on which the machine only stood there is none of harvest
    const names = [...groups].flatMap(([name, { area_m2 }]) => (area_m2 > 0 ? [name] : [])).sort(byName);
    const rows =
      by === 'field'
        ? own.flatMap(({ field }) => rowOfField(field, result) ?? [])
        : names.map((name) => rowOf('group', name, groups.get(name) ?? noSums()));
    return { by, crop, rows: closed(rows, rowOf('total', 'all', total)) };
  });
}

/** The rows with what they lack of the total, so that the columns add up. */
function closed(rows: readonly TotalsRow[], total: TotalsRow): TotalsRow[] {
  const lack = (of: (row: TotalsRow) => number) => rows.reduce((left, row) => left - of(row), of(total));
  const remainder: TotalsRow = {
    kind: 'remainder',
    group: REMAINDER,
    area_ha: 0,
    mass_wet_kg: lack((row) => row.mass_wet_kg),
    mass_std_kg: lack((row) => row.mass_std_kg),
    moisture_pct: null,
    yield_t_ha: null,
    points: lack((row) => row.points),
    points_kept: lack((row) => row.points_kept),
  };
  const isThere =
    remainder.points > 0 || Math.abs(remainder.mass_wet_kg) > 1e-9 * Math.abs(total.mass_wet_kg);
  return [...rows, ...(isThere ? [remainder] : []), total];
}

function addField(
  points: FieldPoints,
  { summary }: SeasonResult,
  groupOf: (row: number) => string,
  groups: Map<string, Sums>,
  total: Sums,
): void {
  const own = summary.fields.find(({ name }) => name === points.field);
  const standard_pct = own?.standard_moisture_pct ?? Number.NaN;
  for (let row = 0; row < points.t_s.length; row++) {
    if (points.screened_by[row] === OUTSIDE) continue;
    total.points++;
    if (points.screened_by[row] === 0) total.kept++;
    const name = groupOf(row);
    const sums = groups.get(name) ?? noSums();
    groups.set(name, sums);
    const moisture_pct = points.moisture_pct[row];
    const kg = points.mass_kg[row];
    if (points.pass[row] >= 0) sums.area_m2 += points.fresh_area_m2[row];
    sums.wet_kg += kg;
    sums.std_kg += massAtMoisture(kg, moisture_pct, standard_pct);
    sums.water_kg += kg * moisture_pct;
    sums.weighed_kg += kg;
    sums.points++;
    if (points.screened_by[row] === 0) sums.kept++;
  }
  if (own === undefined) return;
  total.area_m2 += m2FromHa(own.area_ha);
  total.wet_kg += own.mass_wet_kg;
  total.std_kg += own.mass_std_kg;
  total.water_kg += own.mass_wet_kg * (own.moisture_pct ?? Number.NaN);
  total.weighed_kg += own.mass_wet_kg;
}

function grouping(
  by: GroupKind,
  { fields, machines }: Pick<Season, 'fields' | 'machines'>,
  result: SeasonResult,
): (points: FieldPoints) => (row: number) => string {
  switch (by) {
    case 'field':
      return ({ field }) =>
        () =>
          field;
    case 'variety':
      return ({ field }) => {
        const variety = fields.find(({ name }) => name === field)?.variety ?? NO_VARIETY;
        return () => variety;
      };
    case 'machine': {
      const names = result.machines.map((id) => machines.find((one) => one.id === id)?.name ?? id);
      return ({ machine }) =>
        (row) =>
          names[machine[row]] ?? 'unknown machine';
    }
    case 'load':
      return ({ load }) =>
        (row) =>
          result.loads[load[row]]?.ticket ?? NO_TICKET;
    case 'day': {
      const dayOf = dayOfPoints(result);
      return (points) => (row) => dayOf(points, row);
    }
  }
}

function rowOf(kind: TotalsRow['kind'], group: string, sums: Sums): TotalsRow {
  return {
    kind,
    group,
    area_ha: haFromM2(sums.area_m2),
    mass_wet_kg: sums.wet_kg,
    mass_std_kg: sums.std_kg,
    moisture_pct: finiteOrNull(sums.water_kg / sums.weighed_kg),
    yield_t_ha: finiteOrNull(tHaFromKgM2(sums.std_kg / sums.area_m2)),
    points: sums.points,
    points_kept: sums.kept,
  };
}

/** A field's own totals, as in summary.json. */
function rowOfField(field: string, { summary }: SeasonResult): TotalsRow | undefined {
  const own = summary.fields.find(({ name }) => name === field);
  if (own === undefined) return undefined;
  const { area_ha, mass_wet_kg, mass_std_kg, moisture_pct, mean_yield_t_ha, points } = own;
  const outside = points.screened.outside_field ?? 0;
  return {
    kind: 'group',
    group: field,
    area_ha,
    mass_wet_kg,
    mass_std_kg,
    moisture_pct,
    yield_t_ha: mean_yield_t_ha,
    points: points.total - outside,
    points_kept: points.kept,
  };
}

function noSums(): Sums {
  return { area_m2: 0, wet_kg: 0, std_kg: 0, water_kg: 0, weighed_kg: 0, points: 0, kept: 0 };
}

/** Numbers by size, then words by their letters; no locale takes part. */
function byName(a: string, b: string): number {
  const [x, y] = [a, b].map((name) => (name.trim() === '' ? Number.NaN : Number(name)));
  if (Number.isFinite(x) !== Number.isFinite(y)) return Number.isFinite(x) ? -1 : 1;
  if (Number.isFinite(x) && x !== y) return x - y;
  return a < b ? -1 : a > b ? 1 : 0;
}
