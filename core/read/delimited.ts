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

/** A table of text cells. Blank lines and lines that begin with `#` are left out; cells are trimmed. */
export interface DelimitedTable {
  readonly source: string;
  /** Column names as written, trimmed; `column 1` … where there is no header. */
  readonly header: readonly string[];
  /** Line of the header, 1-based; 0 where there is none. */
  readonly headerLine: number;
  /** Rows may be shorter or longer than the header. */
  readonly rows: readonly (readonly string[])[];
  /** 1-based line on which each row begins. */
  readonly lines: Int32Array;
  /** Lines of the file. */
  readonly lineCount: number;
  readonly delimiter: Delimiter;
  readonly decimal: '.' | ',';
  /** Whether quotes were read as quotes; `literal` when one was never closed. */
  readonly quotes: 'closed' | 'literal';
}

/** As one character, or as the three that its bytes become where each byte was made a character. */
const BYTE_ORDER_MARK = /^(?:\uFEFF|\u00EF\u00BB\u00BF)/;
const DELIMITERS: readonly Delimiter[] = [',', ';', '\t', '|'];

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
  const { rows, lines, lineCount, quotes } = readRows(content, delimiter);
  if (rows.length === 0) {
    const sentence = `${source} is empty: it holds no line of data; copy it again from where it came.`;
    return failure({ code: 'empty_file', source, text: sentence });
  }
  const named = options.header !== 'none';
  const header = named ? rows[0] : rows[0].map((_, i) => `column ${i + 1}`);
  const body = named ? rows.slice(1) : rows;
  return success({
    source,
    header,
    headerLine: named ? lines[0] : 0,
    rows: body,
    lines: Int32Array.from(named ? lines.slice(1) : lines),
    lineCount,
    delimiter,
    decimal: options.decimal ?? decimalOf(body, delimiter),
    quotes,
  });
}

/** Number of a cell, with the table's decimal sign; NaN for an empty cell and for anything that is no number. */
export function numberFromCell(cell: string, decimal: '.' | ','): number {
  const plain = decimal === ',' ? cell.replace(',', '.') : cell;
  return NUMBER.test(plain) ? Number(plain) : Number.NaN;
}

const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/;
/** Enough of the beginning to see a line of data behind any heading. */
const SAMPLE_LENGTH = 65_536;
/** Rows that are looked at for their decimal sign. */
const SAMPLE_ROWS = 200;

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

function decimalOf(rows: readonly (readonly string[])[], delimiter: Delimiter): '.' | ',' {
  if (delimiter === ',') return '.';
  let commas = 0;
  let points = 0;
  for (const row of rows.slice(0, SAMPLE_ROWS)) {
    for (const cell of row) {
      if (/^[+-]?\d*,\d+$/.test(cell)) commas++;
      else if (/^[+-]?\d*\.\d+$/.test(cell)) points++;
    }
  }
  return commas > points ? ',' : '.';
}

interface Rows {
  readonly rows: string[][];
  readonly lines: number[];
  readonly lineCount: number;
  readonly quotes: 'closed' | 'literal';
}

function readRows(content: string, delimiter: Delimiter): Rows {
  const newline = content.includes('\n') ? '\n' : '\r';
  const parsed = Papa.parse(content, { delimiter, newline });
  // an inch mark or a broken line opens a quote that never closes and would swallow the rest of the file
  const unclosed = parsed.errors.some((error) => error.type === 'Quotes');
  const { data } = unclosed ? Papa.parse(content, { delimiter, newline, fastMode: true }) : parsed;
  const rows: string[][] = [];
  const lines: number[] = [];
  let line = 1;
  for (const cells of data) {
    const first = line;
    line++;
    for (let i = 0; i < cells.length; i++) {
      line += unclosed ? 0 : cells[i].split(newline).length - 1;
      const cell = cells[i].trim();
      cells[i] = unclosed ? cell.replace(/^"(.*)"$/, '$1') : cell;
    }
    if (cells[0].startsWith('#') || cells.every((cell) => cell === '')) continue;
    rows.push(delimiter === ' ' ? cells.filter((cell) => cell !== '') : cells);
    lines.push(first);
  }
  const ended = content.endsWith(newline);
  return { rows, lines, lineCount: line - 1 - (ended ? 1 : 0), quotes: unclosed ? 'literal' : 'closed' };
}
