/**
 * The tally log: CSV with one row an interval that ends at `time` (ISO 8601, or the logger's counter in µs), the paddles
 * that passed and how long the beam was dark.
 */
import { Float64Builder } from '../columns.ts';
import { type DataError, failure, type Notice, type Result, success } from '../errors.ts';
import { shownNames } from '../shown-text.ts';
import { DamageTally, noticesFromDamage } from './damage.ts';
import { type DelimitedTable, numberFromCell, parseDelimited } from './delimited.ts';
import { headerStateFromCell } from './header-state.ts';
import type { TallyColumns, TallyReading } from './logger-run.ts';
import { isPosition } from './position-check.ts';
import { timeFromIso } from './utc.ts';

/**
 * Reads a tally log; rows stay in file order (backward steps are counted as `out_of_order` and kept), 32-bit counters
 * are unwrapped, a row equal to the one before is left out. Times without an offset are read as UTC, with a notice.
 * Fails with `empty_file`, `tally_columns` (time, paddles or dark_ms missing) or `no_readable_row`.
 */
export function readTallyLog(text: string, source: string): Result<TallyReading> {
  const parsed = parseDelimited(text, source);
  if (!parsed.ok) return failure(parsed.error);
  const table = parsed.value;
  const index = columnIndices(table.header);
  if (!index) return failure(missingColumns(table));
  const damage = new DamageTally();
  const unzoned = { count: 0, line: 0 };
  const rows = readRows(table, index, damage, unzoned);
  const kinds = damage.toDamage();
  const notices = noticesFromDamage(source, kinds, table.lineCount);
  if (rows.paddles.length === 0) return failure(noRow(source), notices);
  if (unzoned.count > 0) notices.push(unzonedNotice(source, unzoned));
  return success({ rows, lines: table.lineCount, damage: kinds }, notices);
}

const COLUMNS = [
  'time',
  'paddles',
  'dark_ms',
  'moisture_pct',
  'header',
  'lat',
  'lon',
  'speed_m_s',
  'course_deg',
] as const;
type Column = (typeof COLUMNS)[number];
const REQUIRED: readonly Column[] = ['time', 'paddles', 'dark_ms'];

const COUNTER_SPAN_US = 2 ** 32;
/** Fifteen digits of microseconds are 31 years; more is two numbers run together. */
const COUNTER = /^\d{1,15}$/;
const MS_PER_S = 1000;

function columnIndices(header: readonly string[]): ReadonlyMap<Column, number> | undefined {
  const names = header.map((name) => name.toLowerCase());
  const index = new Map<Column, number>();
  for (const column of COLUMNS) if (names.includes(column)) index.set(column, names.indexOf(column));
  return REQUIRED.every((column) => index.has(column)) ? index : undefined;
}

function readRows(
  table: DelimitedTable,
  index: ReadonlyMap<Column, number>,
  damage: DamageTally,
  unzoned: { count: number; line: number },
): TallyColumns {
  const columns = {
    utc_s: new Float64Builder(),
    tick_us: new Float64Builder(),
    paddles: new Float64Builder(),
    dark_s: new Float64Builder(),
    moisture_pct: new Float64Builder(),
    up: new Float64Builder(),
    latitude_deg: new Float64Builder(),
    longitude_deg: new Float64Builder(),
    speed_m_s: new Float64Builder(),
    course_deg: new Float64Builder(),
  };
  const counter = new TallyCounter();
  let before = '';
  let latest = Number.NEGATIVE_INFINITY;
  for (const { cells, line } of table.rows) {
    const cell = (column: Column) => cells[index.get(column) ?? -1] ?? '';
    const number = (column: Column) => {
      const found = numberFromCell(cell(column), table.decimal);
      if (Number.isNaN(found) && cell(column) !== '') damage.add('bad_number', line);
      return found;
    };
    const content = cells.join('\u0000');
    if (content === before) {
      damage.add('repeated_line', line);
      continue;
    }
    before = content;
    const ticked = COUNTER.test(cell('time'));
    const written = ticked ? undefined : timeFromIso(cell('time'));
    const paddles = numberFromCell(cell('paddles'), table.decimal);
    const dark_ms = numberFromCell(cell('dark_ms'), table.decimal);
    if ((!ticked && !written) || !(paddles >= 0) || !(dark_ms >= 0)) {
      damage.add('unreadable_line', line);
      continue;
    }
    if (written && !written.zoned && unzoned.count++ === 0) unzoned.line = line;
    const tick_us = ticked ? counter.unwrap(Number(cell('time'))) : Number.NaN;
    const moment = written ? written.utc_s : tick_us;
    if (moment < latest) damage.add('out_of_order', line);
    latest = moment;
    columns.utc_s.push(written ? written.utc_s : Number.NaN);
    columns.tick_us.push(tick_us);
    columns.paddles.push(paddles);
    columns.dark_s.push(dark_ms / MS_PER_S);
    columns.moisture_pct.push(number('moisture_pct'));
    columns.up.push(headerStateFromCell(cell('header'), ''));
    const [latitude_deg, longitude_deg] = [number('lat'), number('lon')];
    const isPlaced = isPosition(longitude_deg, latitude_deg);
    if (!isPlaced && !Number.isNaN(latitude_deg + longitude_deg)) damage.add('bad_fix', line);
    columns.latitude_deg.push(isPlaced ? latitude_deg : Number.NaN);
    columns.longitude_deg.push(isPlaced ? longitude_deg : Number.NaN);
    columns.speed_m_s.push(number('speed_m_s'));
    columns.course_deg.push(number('course_deg'));
  }
  return {
    source: table.source,
    utc_s: columns.utc_s.toColumn(),
    tick_us: columns.tick_us.toColumn(),
    paddles: columns.paddles.toColumn(),
    dark_s: columns.dark_s.toColumn(),
    moisture_pct: columns.moisture_pct.toColumn(),
    up: columns.up.toColumn(),
    latitude_deg: columns.latitude_deg.toColumn(),
    longitude_deg: columns.longitude_deg.toColumn(),
    speed_m_s: columns.speed_m_s.toColumn(),
    course_deg: columns.course_deg.toColumn(),
  };
}

/** Unwraps a 32-bit counter: a fall of more than half its span is a wrap. */
class TallyCounter {
  #offset_us = 0;
  #last_us = 0;

  unwrap(written_us: number): number {
    const narrow = this.#last_us - this.#offset_us < COUNTER_SPAN_US;
    if (narrow && this.#last_us - (written_us + this.#offset_us) > COUNTER_SPAN_US / 2) {
      this.#offset_us += COUNTER_SPAN_US;
    }
    this.#last_us = written_us + this.#offset_us;
    return this.#last_us;
  }
}

function missingColumns(table: DelimitedTable): DataError {
  const text = `${table.source} is no tally log: it needs the columns time, paddles and dark_ms, and has ${shownNames(table.header)}; rename its columns, or read it through a column mapping.`;
  return { code: 'tally_columns', source: table.source, line: table.headerLine, text };
}

function noRow(source: string): DataError {
  const text = `${source}: no row has a time, paddles and dark_ms that can be read; times are ISO 8601 (2026-09-14T13:05:00Z) or whole microseconds.`;
  return { code: 'no_readable_row', source, text };
}

function unzonedNotice(source: string, { count, line }: { count: number; line: number }): Notice {
  const text = `${source}: ${count} time(s), the first on line ${line}, do not say their offset from UTC and were read as UTC; write them with Z or an offset such as +02:00.`;
  return { code: 'time_without_zone', severity: 'look', source, line, count, text };
}
