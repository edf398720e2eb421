/** Delimited text (CSV and its kin) as rows of cells with their line numbers: the base of every reader of tables. */
import Papa from 'papaparse';
import { failure, type Result, success } from '../errors.ts';

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
const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/;

/** Fails with `empty_file` when there is not even a header. A byte-order mark is ignored. */
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
  const all: Iterable<DelimitedRow> = { [Symbol.iterator]: () => rowsOf(content, delimiter, newline) };
  const [first] = take(all, 1);
  if (first === undefined) {
    const sentence = `${source} is empty: it holds no line of data; copy it again from where it came.`;
    return failure({ code: 'empty_file', source, text: sentence });
  }
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

/** Number of a cell, with the table's decimal sign; NaN for an empty cell and for anything that is no number. */
export function numberFromCell(cell: string, decimal: '.' | ','): number {
  const plain = decimal === ',' ? cell.replace(',', '.') : cell;
  return NUMBER.test(plain) ? Number(plain) : Number.NaN;
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

/** Blocks of whole lines; one block for everything where there are quotes, which may hold line ends. */
function* blocksOf(content: string, delimiter: Delimiter, newline: Newline): Generator<Block> {
  if (content.includes('"')) {
    const { data, errors } = Papa.parse(content, { delimiter, newline });
    // an inch mark or a broken line opens a quote that never closes and would swallow the rest of the file
    if (!errors.some((error) => error.type === 'Quotes')) yield { rows: data, quotes: 'closed' };
    else yield { rows: Papa.parse(content, { delimiter, newline, fastMode: true }).data, quotes: 'literal' };
    return;
  }
  for (let at = 0; at < content.length; ) {
    const end = content.indexOf(newline, at + BLOCK_LENGTH);
    const block = end < 0 ? content.slice(at) : content.slice(at, end);
    yield { rows: Papa.parse(block, { delimiter, newline, fastMode: true }).data, quotes: 'none' };
    at = end < 0 ? content.length : end + 1;
  }
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
