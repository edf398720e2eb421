/**
 * The table of a Shapefile: dBase III. Numbers are decimal texts with the digits of their column, flags 1 or 0; a moment is an ISO
 * text of 24 characters with a date column `date_utc` before it, for dBase dates know no time of day. Blank = absent.
 */
import { strToU8 } from 'fflate';
import { isoFromUnix } from '../../iso-time.ts';
import type { ExportLayer, LayerColumn, NumberColumn, TextColumn } from '../layers/layer.ts';

/** Of a text: what dBase III allows; longer ones lose whole characters at their end. */
const MOST_TEXT_BYTES = 254;
/** Before the point, with a sign and the point itself: 99,999,999. */
const WHOLE_DIGITS = 10;
const TIME_CHARS = 24;
const DATE_CHARS = 8;
const PIECE_BYTES = 1 << 16;
const HEADER_BYTES = 32;
const BLANK = 0x20;
const HEADER_END = 0x0d;
const FILE_END = 0x1a;
/** No clock: 1 January 2000 as the day of the last change. */
const CHANGED = [100, 1, 1];

interface TableField {
  readonly name: string;
  readonly type: 'C' | 'N' | 'D';
  readonly width: number;
  readonly digits: number;
  /** What a row holds, at most `width` bytes; the same column in each layer. */
  readonly cells: (column: LayerColumn) => (row: number) => string | Uint8Array;
  /** Which column of the layers. */
  readonly column: number;
  readonly alignment: 'left' | 'right';
}

/** Of the whole file. */
export function tableBytes(layers: readonly ExportLayer[]): number {
  const fields = tableFields(layers);
  const rows = layers.reduce((sum, layer) => sum + layer.rows, 0);
  return headerBytes(fields) + rows * rowBytes(fields) + 1;
}

/** The `.dbf` file. Throws RangeError for layers whose columns differ in kind. */
export function* tablePieces(layers: readonly ExportLayer[]): Generator<Uint8Array> {
  const fields = tableFields(layers);
  const width = rowBytes(fields);
  yield header(
    fields,
    layers.reduce((sum, layer) => sum + layer.rows, 0),
  );
  const rowsAPiece = Math.max(1, Math.floor(PIECE_BYTES / width));
  for (const { rows, columns } of layers) {
    const cells = fields.map((field) => field.cells(columns[field.column]));
    for (let from = 0; from < rows; from += rowsAPiece) {
      const to = Math.min(rows, from + rowsAPiece);
      const piece = new Uint8Array(width * (to - from)).fill(BLANK);
      for (let row = from; row < to; row++) {
        // the first byte of a row, a blank, says that it is not deleted
        let at = width * (row - from) + 1;
        fields.forEach((field, k) => {
          const cell = cells[k](row);
          const length = Math.min(cell.length, field.width);
          put(piece, field.alignment === 'right' ? at + field.width - length : at, cell);
          at += field.width;
        });
      }
      yield piece;
    }
  }
  yield Uint8Array.of(FILE_END);
}

function tableFields(layers: readonly ExportLayer[]): TableField[] {
  if (layers.length === 0) return [];
  return layers[0].columns.flatMap((column, k): TableField[] => {
    if (column.kind === 'text') return [textField(layers, column, k)];
    return column.kind === 'time' ? timeFields(column, k) : [numberField(column, k)];
  });
}

function textField(layers: readonly ExportLayer[], { short_name: name }: TextColumn, k: number): TableField {
  const longest = layers.reduce((most, { columns }) => {
    const words = textOf(columns[k]).words;
    return words.reduce((longer, word) => Math.max(longer, cutText(word).length), most);
  }, 1);
  return {
    name,
    type: 'C',
    width: longest,
    digits: 0,
    column: k,
    alignment: 'left',
    cells: (column) => {
      const { words, codes } = textOf(column);
      const cut = words.map(cutText);
      return (row) => cut[codes[row]] ?? '';
    },
  };
}

function timeFields({ short_name: name }: NumberColumn, column: number): TableField[] {
  const isoOf = (found: LayerColumn) => {
    const { numbers } = numberOf(found);
    return (row: number) => isoFromUnix(numbers[row]) ?? '';
  };
  const field = { digits: 0, column, alignment: 'left' } as const;
  return [
    {
      ...field,
      name: 'date_utc',
      type: 'D',
      width: DATE_CHARS,
      cells: (found) => {
        const iso = isoOf(found);
        return (row) => iso(row).slice(0, 10).replaceAll('-', '');
      },
    },
    { ...field, name, type: 'C', width: TIME_CHARS, cells: isoOf },
  ];
}

function numberField({ short_name: name, kind, digits }: NumberColumn, column: number): TableField {
  const width = kind === 'flag' ? 1 : WHOLE_DIGITS + digits;
  return {
    name,
    type: 'N',
    width,
    digits,
    column,
    alignment: 'right',
    cells: (found) => {
      const { numbers } = numberOf(found);
      return (row) => {
        const text = Number.isFinite(numbers[row]) ? decimals(numbers[row], digits) : '';
        return text.length > width ? '' : text;
      };
    },
  };
}

/** No −0. */
function decimals(number: number, digits: number): string {
  const text = number.toFixed(digits);
  return Number(text) === 0 ? (0).toFixed(digits) : text;
}

function header(fields: readonly TableField[], rows: number): Uint8Array {
  const bytes = new Uint8Array(headerBytes(fields));
  const view = new DataView(bytes.buffer);
  bytes.set([0x03, ...CHANGED]);
  view.setUint32(4, rows, true);
  view.setUint16(8, bytes.length, true);
  view.setUint16(10, rowBytes(fields), true);
  fields.forEach(({ name, type, width, digits }, k) => {
    const at = HEADER_BYTES * (k + 1);
    put(bytes, at, name);
    put(bytes, at + 11, type);
    bytes[at + 16] = width;
    bytes[at + 17] = digits;
  });
  bytes[bytes.length - 1] = HEADER_END;
  return bytes;
}

function headerBytes(fields: readonly TableField[]): number {
  return HEADER_BYTES * (fields.length + 1) + 1;
}

function rowBytes(fields: readonly TableField[]): number {
  return fields.reduce((sum, { width }) => sum + width, 1);
}

/** Bytes as they are; a text is ASCII. */
function put(bytes: Uint8Array, at: number, cell: string | Uint8Array): void {
  if (typeof cell !== 'string') bytes.set(cell, at);
  else for (let k = 0; k < cell.length; k++) bytes[at + k] = cell.charCodeAt(k);
}

/** UTF-8 without control characters; whole characters only. */
function cutText(text: string): Uint8Array {
  let cut = strToU8(text.replaceAll(/\p{Cc}/gu, ' '));
  if (cut.length <= MOST_TEXT_BYTES) return cut;
  let end = MOST_TEXT_BYTES;
  while ((cut[end] & 0xc0) === 0x80) end--;
  cut = cut.slice(0, end);
  return cut;
}

function textOf(column: LayerColumn): TextColumn {
  if (column.kind !== 'text') throw new RangeError(`layers of a set differ in the column "${column.name}"`);
  return column;
}

function numberOf(column: LayerColumn): NumberColumn {
  if (column.kind === 'text') throw new RangeError(`layers of a set differ in the column "${column.name}"`);
  return column;
}
