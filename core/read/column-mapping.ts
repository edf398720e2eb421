/**
 * Delimited text of any make read through a column mapping: which column holds which quantity, in which unit.
 * Finds the columns and units first, and says what is wrong with the mapping before any row is read.
 */
import { type DataError, failure, type Result } from '../errors.ts';
import { nearestWord } from '../nearest-word.ts';
import type { ColumnMappingSheet, MappedColumn, MappedQuantity } from '../season.ts';
import { shownNames, shownText } from '../shown-text.ts';
import { type DelimitedTable, parseDelimited } from './delimited.ts';
import { flowLogFromTable } from './flow-log.ts';
import type { FlowLogReading } from './logger-run.ts';
import { unitFromWord } from './unit-words.ts';
import { offsetFromText } from './utc.ts';

/** Where a quantity stands and how its cells become numbers. */
export interface ColumnPlan {
  /** Index into a row. */
  readonly index: number;
  /** To the column's own unit; 1 where the cells are not plain numbers. */
  readonly factor: number;
  /** How time, date, clock time or header state is written; '' for plain numbers. */
  readonly word: string;
}

/** A mapping laid onto one table. */
export interface MappingPlan {
  readonly columns: ReadonlyMap<MappedQuantity, ColumnPlan>;
  /** East of UTC, s, for times that do not name their own offset. */
  readonly offset_s: number;
}

/**
 * Reads `text` through `mapping`. Rows stay in file order, backward steps of time included (counted `out_of_order`).
 *
 * Fails with `mapping_column_missing`, `mapping_column_repeated`, `mapping_unit_unknown`, `mapping_unit_refused`,
 * `mapping_incomplete` (position, time, and a flow or mass are needed), `mapping_offset`, `empty_file`, or, when the
 * mapping fits but no row can be used, `no_readable_row`.
 */
export function readMappedLog(
  text: string,
  source: string,
  mapping: ColumnMappingSheet,
): Result<FlowLogReading> {
  const parsed = parseDelimited(text, source, {
    delimiter: mapping.delimiter,
    decimal: mapping.decimal,
    header: mapping.has_header === false ? 'none' : 'first',
  });
  if (!parsed.ok) return failure(parsed.error);
  const plan = planFromMapping(parsed.value, mapping);
  return plan.ok ? flowLogFromTable(parsed.value, plan.value) : failure(plan.error);
}

type Plan =
  | { readonly ok: true; readonly value: MappingPlan }
  | { readonly ok: false; readonly error: DataError };

function planFromMapping(table: DelimitedTable, mapping: ColumnMappingSheet): Plan {
  const columns = new Map<MappedQuantity, ColumnPlan>();
  for (const column of mapping.columns) {
    const index = columnIndex(table.header, column.column);
    if (index < 0) return { ok: false, error: missingColumn(table, mapping, column) };
    if (columns.has(column.quantity)) {
      const text = `${table.source}: the column mapping "${mapping.id}" names ${column.quantity} twice; keep one of the two.`;
      return { ok: false, error: { code: 'mapping_column_repeated', source: table.source, text } };
    }
    const unit = unitFromWord(column.quantity, column.unit);
    if (unit.kind === 'unknown' || unit.kind === 'refused') {
      return { ok: false, error: unitError(table.source, mapping, column, unit) };
    }
    columns.set(column.quantity, {
      index,
      factor: unit.kind === 'factor' ? unit.factor : 1,
      word: unit.kind === 'written' ? unit.word : '',
    });
  }
  const lacking = lackingQuantities(columns);
  if (lacking !== '') {
    const text = `${table.source}: the column mapping "${mapping.id}" names no column for ${lacking}; add it. The file has the columns ${shownNames(table.header)}.`;
    return { ok: false, error: { code: 'mapping_incomplete', source: table.source, text } };
  }
  const offset_s = offsetFromText(mapping.utc_offset ?? 'Z');
  if (Number.isNaN(offset_s)) {
    const text = `${table.source}: the column mapping "${mapping.id}" has the utc_offset "${mapping.utc_offset}"; write it as +02:00 or -05:00.`;
    return { ok: false, error: { code: 'mapping_offset', source: table.source, text } };
  }
  return { ok: true, value: { columns, offset_s } };
}

/** Index of a column by its header text (exact, else without regard to capitals) or its number from 1; −1 when not there. */
function columnIndex(header: readonly string[], column: string | number): number {
  if (typeof column === 'number')
    return Number.isInteger(column) && column <= header.length ? column - 1 : -1;
  const exact = header.indexOf(column.trim());
  if (exact >= 0) return exact;
  const plain = column.trim().toLowerCase();
  return header.findIndex((name) => name.toLowerCase() === plain);
}

/** Needed: a position, a moment, and an amount of grain. */
function lackingQuantities(columns: ReadonlyMap<MappedQuantity, ColumnPlan>): string {
  const lacking: string[] = [];
  if (!columns.has('longitude')) lacking.push('longitude');
  if (!columns.has('latitude')) lacking.push('latitude');
  if (!columns.has('time') && !(columns.has('date') && columns.has('clock_time'))) {
    lacking.push('time (or date and clock_time)');
  }
  if (!columns.has('mass_flow') && !columns.has('volume_flow') && !columns.has('mass')) {
    lacking.push('mass_flow (or volume_flow, or mass)');
  }
  return lacking.join(' and ');
}

function missingColumn(
  table: DelimitedTable,
  mapping: ColumnMappingSheet,
  { quantity, column }: MappedColumn,
): DataError {
  const near = typeof column === 'string' ? nearestWord(column, table.header) : undefined;
  const wanted = typeof column === 'string' ? `column "${column}"` : `column number ${column}`;
  const hint = near === undefined ? '' : ` Did you mean "${shownText(near)}"?`;
  const text = `${table.source} has no ${wanted}, in which the column mapping "${mapping.id}" looks for ${quantity}; it has ${shownNames(table.header)}.${hint}`;
  return { code: 'mapping_column_missing', source: table.source, line: table.headerLine || 1, text };
}

function unitError(
  source: string,
  mapping: ColumnMappingSheet,
  { quantity, column, unit }: MappedColumn,
  answer:
    | { readonly kind: 'unknown'; readonly known: readonly string[] }
    | { readonly kind: 'refused'; readonly why: string },
): DataError {
  const where = `${source}: the column mapping "${mapping.id}" gives ${quantity} (column "${column}") in "${unit}"`;
  if (answer.kind === 'refused') {
    return { code: 'mapping_unit_refused', source, text: `${where}, which cannot be used: ${answer.why}.` };
  }
  const near = nearestWord(unit ?? '', answer.known);
  const hint = near === undefined ? '' : ` Did you mean "${near}"?`;
  return {
    code: 'mapping_unit_unknown',
    source,
    text: `${where}, which is no known unit for it; known are ${answer.known.join(', ')}.${hint}`,
  };
}
