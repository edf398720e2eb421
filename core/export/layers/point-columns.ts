/** The columns of points, in the contract's order, which swaths share. */
import { type FieldPoints, SCREENING_RULES, type SeasonResult } from '../../result.ts';
import { degFromRad } from '../../units.ts';
import type { LayerColumn, NumberColumn } from './layer.ts';
import type { LayerUnits } from './layer-choice.ts';
import { type LayerField, nameColumns } from './layer-field.ts';
import { quantityColumn, yieldColumns } from './measured-columns.ts';

/** Rows of a field's points that are wanted, ascending: `kept`, those that no rule caught. */
export function wantedRows(points: FieldPoints, choice: 'kept' | 'all'): Int32Array {
  const all = Int32Array.from(points.t_s.keys());
  return choice === 'all' ? all : all.filter((row) => points.screened_by[row] === 0);
}

/** The columns of the given rows of the field's points, in `units`; NaN where a number is absent. */
export function pointColumns(
  field: LayerField,
  rows: Int32Array,
  result: SeasonResult,
  units: LayerUnits,
): readonly LayerColumn[] {
  const { points, bushel_kg } = field;
  const real = (column: Float64Array) => Float64Array.from(rows, (row) => column[row]);
  const [first, ...others] = yieldColumns(real(points.yield_kg_m2), bushel_kg, units, {
    name: 'yield',
    short_name: 'yld',
    about: "Yield at the field's standard moisture.",
  });
  const errors = yieldColumns(real(points.yield_se_kg_m2), bushel_kg, units, {
    name: 'yield_se',
    short_name: 'yse',
    about: 'Standard error of the yield of a single point.',
  });
  return [
    timeColumn(points, rows, result.epoch_utc_s),
    ...nameColumns(field, rows.length),
    words('machine', 'machine', 'Machine that cut it.', result.machines, codes(points.machine, rows)),
    {
      kind: 'whole',
      name: 'pass',
      short_name: 'pass',
      about: 'Number of the pass, counted by machine.',
      digits: 0,
      numbers: Float64Array.from(rows, (row) => (points.pass[row] < 0 ? Number.NaN : points.pass[row])),
    },
    words(
      'load',
      'load',
      'Ticket of the load that the grain went into.',
      result.loads.map(({ ticket }) => ticket),
      codes(points.load, rows),
    ),
    first,
    ...others,
    // the contract has no standard error in bushels beside that in tonnes
    ...(units === 'metric' ? errors.slice(0, 1) : errors),
    quantityColumn('mass_flow', units, real(points.mass_flow_kg_s), 'Flow of the grain, as harvested.'),
    quantityColumn('volume_flow', units, real(points.volume_flow_m3_s), 'Flow of the grain by volume.'),
    {
      kind: 'real',
      name: 'moisture_pct',
      short_name: 'moist_pct',
      about: 'Moisture of the grain as harvested, wet basis.',
      digits: 2,
      numbers: real(points.moisture_pct),
    },
    quantityColumn('speed', units, real(points.speed_m_s), 'Speed over the ground.'),
    {
      kind: 'real',
      name: 'heading_deg',
      short_name: 'headng_deg',
      about: 'Direction of travel, clockwise from north.',
      digits: HEADING_DIGITS,
      numbers: Float64Array.from(rows, (row) => heading_deg(points.heading_rad[row])),
    },
    quantityColumn('cut_width', units, real(points.cut_width_m), 'Width of crop that was still standing.'),
    quantityColumn('distance', units, real(points.distance_m), 'Distance driven in the interval.'),
    {
      kind: 'flag',
      name: 'kept',
      short_name: 'kept',
      about: 'Whether no screening rule caught the point.',
      digits: 0,
      numbers: Float64Array.from(rows, (row) => (points.screened_by[row] === 0 ? 1 : 0)),
    },
    words(
      'screened_by',
      'screened',
      'Screening rule that caught the point; empty for points that were kept.',
      SCREENING_RULES,
      Int32Array.from(rows, (row) => points.screened_by[row] - 1),
    ),
  ];
}

const HEADING_DIGITS = 1;

/** 0 ≤ heading < 360, also after rounding. */
function heading_deg(heading_rad: number): number {
  const wrapped_deg = ((degFromRad(heading_rad) % 360) + 360) % 360;
  return Number(wrapped_deg.toFixed(HEADING_DIGITS)) === 360 ? 0 : wrapped_deg;
}

function timeColumn(points: FieldPoints, rows: Int32Array, epoch_utc_s: number): NumberColumn {
  return {
    kind: 'time',
    name: 'time',
    short_name: 'time_utc',
    about: 'When it was cut: the middle of the interval, UTC.',
    digits: 3,
    numbers: Float64Array.from(rows, (row) => epoch_utc_s + points.t_s[row]),
  };
}

function codes(column: Int32Array, rows: Int32Array): Int32Array {
  return Int32Array.from(rows, (row) => column[row]);
}

function words(
  name: string,
  short_name: string,
  about: string,
  list: readonly string[],
  found: Int32Array,
): LayerColumn {
  return { kind: 'text', name, short_name, about, words: list, codes: found };
}
