/** What the cells of a table's columns look like, from a sample of its rows: the ground on which columns are guessed. */
import {
  type DelimitedOptions,
  type DelimitedTable,
  numberFromCell,
  parseDelimited,
} from '../read/delimited.ts';
import { isPrintable } from '../shown-text.ts';
import { median } from '../stats/quantiles.ts';
import { type HeaderWords, wordsOfHeader } from './header-words.ts';

export interface ColumnProfile {
  readonly index: number;
  /** As the mapping will call it: the header text, or the number from 1 where that is missing or stands there twice. */
  readonly column: string | number;
  readonly words: HeaderWords;
  /** Cells of the sampled rows, '' where a row is too short. */
  readonly cells: readonly string[];
  /** The same as numbers; NaN where they are none. */
  readonly numbers: Float64Array;
  /** Share of rows with something in the cell, and of those the share that are numbers. */
  readonly filledShare: number;
  readonly numberShare: number;
  /** Of the numbers; NaN when there is none. */
  readonly least: number;
  readonly most: number;
  readonly middle: number;
  /** Different cells, counted up to `MOST_DISTINCT`. */
  readonly distinct: number;
  /** Most digits behind the decimal sign. */
  readonly decimals: number;
}

export interface TableSample {
  readonly table: DelimitedTable;
  readonly hasHeader: boolean;
  readonly decimal: '.' | ',';
  readonly columns: readonly ColumnProfile[];
  /** Sampled rows; the first `contiguous` of them follow each other in the file, the others are picked from the rest. */
  readonly rows: number;
  readonly contiguous: number;
}

/** An hour and more of a log at 1 Hz: passes and turns are in it. */
const CONTIGUOUS_ROWS = 4000;
/** Of the rest every so many-eth row is looked at … */
const STRIDE = 40;
/** … and at most so many rows in all. */
const MOST_ROWS = 12_000;
export const MOST_DISTINCT = 60;
/** Tables with more columns are not logs; each costs memory for the sample. */
const MOST_COLUMNS = 300;

/** The table of `text` with header or without, as its first line looks, and its sample; the error of `parseDelimited`. */
export function sampleTable(text: string, source: string, options: DelimitedOptions = {}) {
  const first = parseDelimited(text, source, options);
  if (!first.ok) return first;
  const hasHeader = options.header !== 'none' && !looksLikeData(first.value.header, first.value.decimal);
  const parsed = hasHeader ? first : parseDelimited(text, source, { ...options, header: 'none' });
  if (!parsed.ok) return parsed;
  return { ok: true as const, value: profileTable(parsed.value, hasHeader, options.decimal) };
}

/** A first line that is mostly numbers names no columns. */
function looksLikeData(cells: readonly string[], decimal: '.' | ','): boolean {
  const filled = cells.filter((cell) => cell !== '');
  const numeric = filled.filter((cell) => !Number.isNaN(numberFromCell(cell, decimal))).length;
  return numeric >= 2 && numeric >= 0.5 * filled.length;
}

function profileTable(table: DelimitedTable, hasHeader: boolean, forced: '.' | ',' | undefined): TableSample {
  const { rows, contiguous } = sampleRows(table);
  const decimal = forced ?? decimalOfQuoted(rows, table);
  const width = Math.min(MOST_COLUMNS, table.header.length);
  const unitRow = unitRowOf(rows, width, decimal);
  const body = unitRow ? rows.slice(1) : rows;
  const columns = Array.from({ length: width }, (_, index) => {
    const cells = body.map((row) => row[index] ?? '');
    return profileOf(
      cells,
      index,
      table,
      hasHeader ? table.header[index] : '',
      unitRow?.[index] ?? '',
      decimal,
    );
  });
  return {
    table,
    hasHeader,
    decimal,
    columns,
    rows: body.length,
    contiguous: Math.min(contiguous, body.length),
  };
}

function sampleRows(table: DelimitedTable): { rows: (readonly string[])[]; contiguous: number } {
  const rows: (readonly string[])[] = [];
  let seen = 0;
  for (const { cells } of table.rows) {
    seen++;
    if (seen <= CONTIGUOUS_ROWS || seen % STRIDE === 0) rows.push(cells);
    if (rows.length >= MOST_ROWS) break;
  }
  return { rows, contiguous: Math.min(seen, CONTIGUOUS_ROWS) };
}

/** Some programs write a line of units under the names: a first row without a number above rows with many. */
function unitRowOf(
  rows: readonly (readonly string[])[],
  width: number,
  decimal: '.' | ',',
): readonly string[] | undefined {
  const numbersIn = (row: readonly string[]) =>
    row.slice(0, width).filter((cell) => !Number.isNaN(numberFromCell(cell, decimal))).length;
  if (rows.length < 3 || numbersIn(rows[0]) > 0) return undefined;
  return numbersIn(rows[1]) >= 2 && numbersIn(rows[2]) >= 2 ? rows[0] : undefined;
}

/** Decimal commas in a table parted by commas stand in quotes; three digits behind the comma may be thousands. */
function decimalOfQuoted(rows: readonly (readonly string[])[], table: DelimitedTable): '.' | ',' {
  if (table.delimiter !== ',') return table.decimal;
  let commas = 0;
  let points = 0;
  for (const cells of rows.slice(0, 200)) {
    for (const cell of cells) {
      if (/^[+-]?\d+,(\d{1,2}|\d{4,})$/.test(cell)) commas++;
      else if (/^[+-]?\d*\.\d+$/.test(cell)) points++;
    }
  }
  return commas > points ? ',' : table.decimal;
}

/** Characters that a column's name may have in season.json. */
const LONGEST_HEADING = 300;

function profileOf(
  cells: readonly string[],
  index: number,
  table: DelimitedTable,
  name: string,
  unitCell: string,
  decimal: '.' | ',',
): ColumnProfile {
  const numbers = Float64Array.from(cells, (cell) => numberFromCell(cell, decimal));
  const finite = numbers.filter((number) => !Number.isNaN(number));
  const filled = cells.filter((cell) => cell !== '').length;
  const distinct = new Set<string>();
  let decimals = 0;
  for (const cell of cells) {
    if (distinct.size < MOST_DISTINCT && cell !== '') distinct.add(cell);
    const point = cell.lastIndexOf(decimal);
    if (point >= 0 && cell.length - point - 1 > decimals && /^[+-]?\d*[.,]\d+$/.test(cell))
      decimals = cell.length - point - 1;
  }
  // a heading that no sheet could hold is no name to know the column by
  const isName = name !== '' && name.length <= LONGEST_HEADING && isPrintable(name);
  const unique =
    isName && table.header.filter((other) => other.toLowerCase() === name.toLowerCase()).length === 1;
  return {
    index,
    column: unique ? name : index + 1,
    words: wordsOfHeader(name, unitCell),
    cells,
    numbers,
    filledShare: cells.length > 0 ? filled / cells.length : 0,
    numberShare: filled > 0 ? finite.length / filled : 0,
    least: finite.reduce((least, number) => Math.min(least, number), Number.POSITIVE_INFINITY),
    most: finite.reduce((most, number) => Math.max(most, number), Number.NEGATIVE_INFINITY),
    middle: median(finite),
    distinct: distinct.size,
    decimals,
  };
}
