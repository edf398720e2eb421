/** Rows of a mapped table as a flow log in SI units. */
import { Float64Builder } from '../columns.ts';
import { failure, type Result, success } from '../errors.ts';
import type { MappedQuantity } from '../season.ts';
import { shownText } from '../shown-text.ts';
import type { ColumnPlan, MappingPlan } from './column-mapping.ts';
import { DamageTally, noticesFromDamage } from './damage.ts';
import { type DelimitedTable, numberFromCell } from './delimited.ts';
import { headerStateFromCell } from './header-state.ts';
import type { FlowLogColumns, FlowLogReading } from './logger-run.ts';
import { plausibleNumber } from './plausible-numbers.ts';
import { isPosition } from './position-check.ts';
import { withoutRounding } from './rounded-times.ts';
import { intervalsFromTimes } from './row-intervals.ts';
import { rowTime } from './row-time.ts';
import type { NumericQuantity } from './unit-words.ts';

/** Quantities that are copied cell by cell. */
const NUMERIC: readonly NumericQuantity[] = [
  'longitude',
  'latitude',
  'interval',
  'mass_flow',
  'volume_flow',
  'mass',
  'distance',
  'speed',
  'swath',
  'heading',
  'moisture',
  'altitude',
  'fix_quality',
];

/** No logger writes rows closer together, s; a mass over less would be any flow one likes. A choice of ours. */
const LEAST_INTERVAL_S = 1e-3;

interface Raw {
  readonly utc_s: Float64Array;
  readonly up: Float64Array;
  readonly fields: readonly string[];
  readonly numbers: ReadonlyMap<NumericQuantity, Float64Array>;
}

/**
 * Rows with a readable time, in file order. A row that ends at its time covers the mapped interval, else the time since
 * the row before (see `intervalsFromTimes`). `mass` becomes a mass flow over that interval; distance is speed × interval
 * where no column holds it. Absent and unreadable cells are NaN.
 */
export function flowLogFromTable(table: DelimitedTable, plan: MappingPlan): Result<FlowLogReading> {
  const damage = new DamageTally();
  const raw = readCells(table, plan, damage);
  const kinds = damage.toDamage();
  const notices = noticesFromDamage(table.source, kinds, table.lineCount);
  if (raw.utc_s.length === 0) {
    const text = `${table.source}: no row has a time that can be read; look at the column and the unit of time in the mapping${firstTimeCell(table, plan)}.`;
    return failure({ code: 'no_readable_row', source: table.source, text }, notices);
  }
  const rows = columnsFromRaw(table.source, raw, plan);
  return success({ rows, lines: table.lineCount, damage: kinds }, notices);
}

function readCells(table: DelimitedTable, plan: MappingPlan, damage: DamageTally): Raw {
  const utc_s = new Float64Builder();
  const up = new Float64Builder();
  const fields: string[] = [];
  const mapped = NUMERIC.filter((quantity) => plan.columns.has(quantity));
  const builders = mapped.map(() => new Float64Builder());
  const plans = mapped.map((quantity) => plan.columns.get(quantity) as ColumnPlan);
  const header = plan.columns.get('header_state');
  const field = plan.columns.get('field');
  let latest_s = Number.NEGATIVE_INFINITY;
  for (const { cells, line } of table.rows) {
    const time_s = rowTime(cells, plan, table.decimal);
    if (Number.isNaN(time_s)) {
      damage.add('unreadable_line', line);
      continue;
    }
    if (time_s < latest_s) damage.add('out_of_order', line);
    latest_s = time_s;
    utc_s.push(time_s);
    plans.forEach(({ index, factor }, k) => {
      const cell = cells[index] ?? '';
      const number = plausibleNumber(mapped[k], numberFromCell(cell, table.decimal) * factor);
      if (Number.isNaN(number) && cell !== '') damage.add('bad_number', line);
      builders[k].push(number);
    });
    up.push(header ? headerStateFromCell(cells[header.index] ?? '', header.word) : Number.NaN);
    if (field) fields.push(cells[field.index] ?? '');
    countBadFix(builders, mapped, damage, line);
  }
  const numbers = new Map(mapped.map((quantity, k) => [quantity, builders[k].toColumn()]));
  return { utc_s: utc_s.toColumn(), up: up.toColumn(), fields, numbers };
}

/** A position off the globe, or at 0, 0 in the open sea, is none. */
function countBadFix(
  builders: readonly Float64Builder[],
  mapped: readonly MappedQuantity[],
  damage: DamageTally,
  line: number,
): void {
  const longitude_deg = builders[mapped.indexOf('longitude')].last();
  const latitude_deg = builders[mapped.indexOf('latitude')].last();
  if (!isPosition(longitude_deg, latitude_deg)) damage.add('bad_fix', line);
}

function columnsFromRaw(
  source: string,
  { utc_s: written_s, up, fields, numbers }: Raw,
  plan: MappingPlan,
): FlowLogColumns {
  const utc_s = withoutRounding(written_s);
  const n = utc_s.length;
  const absent = () => new Float64Array(n).fill(Number.NaN);
  const column = (quantity: NumericQuantity) => numbers.get(quantity) ?? absent();
  const longitude_deg = column('longitude');
  const latitude_deg = column('latitude');
  for (let i = 0; i < n; i++) {
    if (isPosition(longitude_deg[i], latitude_deg[i])) continue;
    longitude_deg[i] = Number.NaN;
    latitude_deg[i] = Number.NaN;
  }
  const interval_s = numbers.get('interval') ?? intervalsFromTimes(utc_s);
  const mass_kg = numbers.get('mass');
  const speed_m_s = column('speed');
  const mass_flow_kg_s =
    numbers.get('mass_flow') ??
    mass_kg?.map((mass, i) => (interval_s[i] >= LEAST_INTERVAL_S ? mass / interval_s[i] : Number.NaN)) ??
    absent();
  return {
    source,
    utc_s,
    interval_s,
    latitude_deg,
    longitude_deg,
    altitude_m: column('altitude'),
    mass_flow_kg_s,
    // a log that carries both is a mass log: the volume was derived with somebody's density
    volume_flow_m3_s: numbers.has('mass_flow') || mass_kg ? absent() : column('volume_flow'),
    distance_m: numbers.get('distance') ?? speed_m_s.map((speed, i) => speed * interval_s[i]),
    speed_m_s,
    swath_m: column('swath'),
    heading_deg: column('heading').map((heading) => ((heading % 360) + 360) % 360),
    moisture_pct: column('moisture'),
    up,
    quality: column('fix_quality'),
    ...(plan.columns.has('field') ? { field: fields } : {}),
  };
}

function firstTimeCell(table: DelimitedTable, plan: MappingPlan): string {
  const column = plan.columns.get('time') ?? plan.columns.get('date');
  const [first] = table.rows;
  const cell = column && first?.cells[column.index];
  return cell ? ` (the first row says "${shownText(cell)}")` : '';
}
