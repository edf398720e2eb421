/** Delimited text (CSV and its kin) as rows of cells with their line numbers: the base of every reader of tables. */
import Papa from 'papaparse';
import { type DataError, failure, type Result, success } from '../errors.ts';

export type Delimiter = ',' | ';' | '\t' | ' ' | '|';

export interface DelimitedOptions {
  /** Found from the first line when absent. */
  readonly delimiter?: Delimiter;
  /** Found from the delimiter when absent: a comma where columns are parted by semicolons and no point is in use. */
  readonly decimal?: '.' | ',';
  /** `first`: the first line names the columns (the default); `none`: columns are numbered from 1. */
  readonly header?: 'first' | 'none';
}

export interface DelimitedRow {
  /** Trimmed; fewer or more than the header has columns, as the file has them. */
  readonly cells: readonly string[];
  /** 1-based line on which the row begins. */
  readonly line: number;
}

/** A table of text cells. Blank lines and lines that begin with `#` are left out. */
export interface DelimitedTable {
  readonly source: string;
  /** Column names as written, trimmed; `column 1` … where there is no header. */
  readonly header: readonly string[];
  /** Line of the header, 1-based; 0 where there is none. */
  readonly headerLine: number;
  /** Parsed anew, block by block, each time it is walked: a long log never stands in memory as texts. */
  readonly rows: Iterable<DelimitedRow>;
  /** Lines of the file. */
  readonly lineCount: number;
  readonly delimiter: Delimiter;
  readonly decimal: '.' | ',';
}

/** As one character, or as the three that its bytes become where each byte was made a character. */
const BYTE_ORDER_MARK = /^(?:\uFEFF|\u00EF\u00BB\u00BF)/;
const DELIMITERS: readonly Delimiter[] = [',', ';', '\t', '|'];
/** Enough of the beginning to see a line of data behind any heading. */
const SAMPLE_LENGTH = 65_536;
/** Rows that are looked at for their decimal sign. */
const SAMPLE_ROWS = 200;
/** Characters that are parsed at a time. */
const BLOCK_LENGTH = 262_144;
/** Matches a text in one way only, so that a million digits take no longer than they are. */
const NUMBER = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?$/;
/** Nothing that a log counts or measures is larger (microseconds of 30 years are 1e15); what is, is damage. */
const LARGEST_NUMBER = 1e15;

/** More columns than any program exports; a header of more is no header. A choice of ours. */
const MOST_COLUMNS = 10_000;
/** Characters of the longest line that may be a row. A choice of ours. */
const LONGEST_LINE = 1_000_000;

/**
 * Fails with `empty_file` when there is not even a header, with `line_too_long` and `too_many_columns` when the file cannot be
 * a table. A byte-order mark is ignored.
 */
export function parseDelimited(
  text: string,
  source: string,
  options: DelimitedOptions = {},
): Result<DelimitedTable> {
  const content = text.replace(BYTE_ORDER_MARK, '');
  const sample = content.slice(0, SAMPLE_LENGTH).split(/\r\n|\n|\r/);
  const firstLine = sample.find((line) => line.trim() !== '' && !line.startsWith('#')) ?? '';
  const delimiter = options.delimiter ?? delimiterOf(firstLine);
  const newline = content.includes('\n') ? '\n' : '\r';
  const long = firstLongLine(content, newline);
  if (long > 0) return failure(lineTooLong(source, long));
  const all: Iterable<DelimitedRow> = { [Symbol.iterator]: () => rowsOf(content, delimiter, newline) };
  const [first] = take(all, 1);
  if (first === undefined) {
    const sentence = `${source} is empty: it holds no line of data; copy it again from where it came.`;
    return failure({ code: 'empty_file', source, text: sentence });
  }
  if (first.cells.length > MOST_COLUMNS) return failure(tooManyColumns(source, first));
  const named = options.header !== 'none';
  return success({
    source,
    header: named ? first.cells : first.cells.map((_, i) => `column ${i + 1}`),
    headerLine: named ? first.line : 0,
    rows: named ? { [Symbol.iterator]: () => afterFirst(all) } : all,
    lineCount: countOf(newline, content) + (content.endsWith(newline) ? 0 : 1),
    delimiter,
    decimal: options.decimal ?? decimalOf(take(all, SAMPLE_ROWS), delimiter),
  });
}

/** Number of a cell, with the table's decimal sign; NaN for an empty cell, for anything that is no number, and beyond ±1e15. */
export function numberFromCell(cell: string, decimal: '.' | ','): number {
  const plain = decimal === ',' ? cell.replace(',', '.') : cell;
  const number = NUMBER.test(plain) ? Number(plain) : Number.NaN;
  return Math.abs(number) <= LARGEST_NUMBER ? number : Number.NaN;
}

function tooManyColumns(source: string, { cells, line }: DelimitedRow): DataError {
  const text = `${source} has ${cells.length} columns on line ${line}, more than any table of a log or of tickets (at most ${MOST_COLUMNS}); export it again with a line for each row.`;
  return { code: 'too_many_columns', source, line, text };
}

function lineTooLong(source: string, line: number): DataError {
  const text = `${source}, line ${line}: the line is longer than ${LONGEST_LINE} characters, so this is no table; export it again with a line for each row.`;
  return { code: 'line_too_long', source, line, text };
}

/** Number of the first line that is too long to be one; 0 when there is none. */
function firstLongLine(content: string, newline: Newline): number {
  let line = 1;
  for (let at = 0; at < content.length; line++) {
    const end = content.indexOf(newline, at);
    if ((end < 0 ? content.length : end) - at > LONGEST_LINE) return line;
    if (end < 0) break;
    at = end + 1;
  }
  return 0;
}

/** The sign that parts the first line into the most columns; a comma when none does. */
function delimiterOf(line: string): Delimiter {
  let best: Delimiter = ',';
  let most = 1;
  for (const delimiter of DELIMITERS) {
    const columns = line.split(delimiter).length;
    if (columns > most) {
      best = delimiter;
      most = columns;
    }
  }
  return best;
}

function decimalOf(rows: readonly DelimitedRow[], delimiter: Delimiter): '.' | ',' {
  if (delimiter === ',') return '.';
  let commas = 0;
  let points = 0;
  for (const { cells } of rows) {
    for (const cell of cells) {
      if (/^[+-]?\d*,\d+$/.test(cell)) commas++;
      else if (/^[+-]?\d*\.\d+$/.test(cell)) points++;
    }
  }
  return commas > points ? ',' : '.';
}

type Newline = '\n' | '\r';

function* rowsOf(content: string, delimiter: Delimiter, newline: Newline): Generator<DelimitedRow> {
  let line = 1;
  for (const { rows, quotes } of blocksOf(content, delimiter, newline)) {
    for (const raw of rows) {
      const first = line;
      line++;
      for (const cell of raw) if (quotes === 'closed') line += countOf(newline, cell);
      const trimmed = raw.map((cell) => cell.trim());
      if (trimmed[0].startsWith('#') || trimmed.every((cell) => cell === '')) continue;
      const bare = quotes === 'literal' ? trimmed.map((cell) => cell.replace(/^"(.*)"$/, '$1')) : trimmed;
      yield { cells: delimiter === ' ' ? bare.filter((cell) => cell !== '') : bare, line: first };
    }
  }
}

interface Block {
  readonly rows: readonly (readonly string[])[];
  /** How quotes were read: `none` in the block, as `closed` pairs, or `literal`, one of them never being closed. */
  readonly quotes: 'none' | 'closed' | 'literal';
}

/** Blocks of whole lines, longer ones where a quoted cell with a line end would be cut. */
function* blocksOf(content: string, delimiter: Delimiter, newline: Newline): Generator<Block> {
  for (let at = 0; at < content.length; ) {
    let end = lineEnd(content, newline, at + BLOCK_LENGTH);
    const block = content.slice(at, end);
    if (block.includes('"')) {
      let closed = closedRows(block, delimiter, newline);
      if (!closed && end < content.length) {
        const longer = lineEnd(content, newline, end + LONGEST_CELL);
        closed = closedRows(content.slice(at, longer), delimiter, newline);
        if (closed) end = longer;
      }
      if (closed) yield { rows: closed, quotes: 'closed' };
      else yield { rows: Papa.parse(block, { delimiter, newline, fastMode: true }).data, quotes: 'literal' };
    } else yield { rows: Papa.parse(block, { delimiter, newline, fastMode: true }).data, quotes: 'none' };
    at = end + 1;
  }
}

/** Characters of a quoted cell that runs over the end of a block. */
const LONGEST_CELL = 65_536;

function lineEnd(content: string, newline: Newline, from: number): number {
  const end = content.indexOf(newline, from);
  return end < 0 ? content.length : end;
}

/**
 * The rows of a block whose quotes close in pairs; `undefined` when they do not: an inch mark or a broken line opens a quote
 * that never closes, and would swallow what follows.
 */
function closedRows(block: string, delimiter: Delimiter, newline: Newline): string[][] | undefined {
  const { data, errors } = Papa.parse(block, { delimiter, newline });
  return errors.some((error) => error.type === 'Quotes') ? undefined : data;
}

function* afterFirst(rows: Iterable<DelimitedRow>): Generator<DelimitedRow> {
  let first = true;
  for (const row of rows) {
    if (!first) yield row;
    first = false;
  }
}

function take(rows: Iterable<DelimitedRow>, count: number): DelimitedRow[] {
  const taken: DelimitedRow[] = [];
  for (const row of rows) {
    if (taken.push(row) >= count) break;
  }
  return taken;
}

function countOf(character: string, text: string): number {
  let count = 0;
  for (let at = text.indexOf(character); at >= 0; at = text.indexOf(character, at + 1)) count++;
  return count;
}
