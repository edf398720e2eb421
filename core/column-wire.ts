/**
 * Columns as bytes, for the way from host to window: what typed arrays hold goes as it lies in memory, little-endian,
 * behind a small header that says what it is. Nothing is printed and parsed again, so no digit is lost and a million
 * points cost a copy.
 *
 * | bytes | what |
 * |---|---|
 * | 0–3 | `SHFC` in ASCII |
 * | 4–7 | version of this layout, 1 |
 * | 8–11 | length of the header text, bytes |
 * | 12–15 | rows of every column |
 * | 16– | header: ASCII JSON `{"about": {…}, "columns": [{"name", "type", "at"}]}`, filled up with blanks |
 * | `at` of each column | its numbers; `at` counts from the first byte and is a multiple of 8 |
 *
 * All whole numbers are unsigned, 32 bits, little-endian.
 */
import { type DataError, failure, type Result, success } from './errors.ts';

export type ColumnArray = Float64Array | Float32Array | Int32Array | Uint8Array;

/** Columns of equal length, by name, and what they belong to. */
export interface ColumnBlock {
  /** E.g. field, crop, revision: whatever the receiver needs to know the columns by. */
  readonly about: Readonly<Record<string, string | number>>;
  readonly rows: number;
  readonly columns: ReadonlyMap<string, ColumnArray>;
}

export const COLUMN_WIRE_VERSION = 1;
/** Media type of a block. */
export const COLUMN_WIRE_TYPE = 'application/vnd.sheaflight.columns';

const MAGIC = [0x53, 0x48, 0x46, 0x43];
const FIXED_BYTES = 16;
/** Every column begins on a multiple of this, so that a view can be laid on it. */
const ALIGNMENT = 8;
/** A header of thousands of columns fits; more is not ours. */
const MOST_HEADER_BYTES = 1 << 20;

const KINDS = { f64: Float64Array, f32: Float32Array, i32: Int32Array, u8: Uint8Array } as const;
type KindName = keyof typeof KINDS;

/** Typed arrays hold numbers in the machine's own order; every machine that runs this program has the little-endian one. */
const IS_LITTLE_ENDIAN = new Uint8Array(Uint16Array.of(1).buffer)[0] === 1;

/** The block as bytes. Throws RangeError when the columns differ in length or are of a kind that has no name. */
export function encodeColumns(block: ColumnBlock): Uint8Array {
  mustBeLittleEndian();
  for (const [name, column] of block.columns) {
    if (column.length !== block.rows)
      throw new RangeError(`column "${name}" has ${column.length} rows, not ${block.rows}`);
  }
  const { header, total } = headerOf(block);
  const bytes = new Uint8Array(total);
  bytes.set(MAGIC);
  const view = new DataView(bytes.buffer);
  view.setUint32(4, COLUMN_WIRE_VERSION, true);
  view.setUint32(8, header.length, true);
  view.setUint32(12, block.rows, true);
  for (let i = 0; i < header.length; i++) bytes[FIXED_BYTES + i] = header.charCodeAt(i);
  let at = FIXED_BYTES + header.length;
  for (const column of block.columns.values()) {
    bytes.set(new Uint8Array(column.buffer, column.byteOffset, column.byteLength), at);
    at = aligned(at + column.byteLength);
  }
  return bytes;
}

/**
 * The columns in `bytes`: views on them where they are aligned, else on a copy. Fails with `bad_columns` on anything
 * that `encodeColumns` cannot have made.
 */
export function decodeColumns(bytes: Uint8Array): Result<ColumnBlock> {
  mustBeLittleEndian();
  if (bytes.length < FIXED_BYTES || MAGIC.some((byte, i) => bytes[i] !== byte))
    return bad('does not begin as one');
  const whole = bytes.byteOffset % ALIGNMENT === 0 ? bytes : bytes.slice();
  const view = new DataView(whole.buffer, whole.byteOffset, whole.length);
  const version = view.getUint32(4, true);
  if (version !== COLUMN_WIRE_VERSION)
    return bad(`is of version ${version}, and this program reads version ${COLUMN_WIRE_VERSION}`);
  const headerLength = view.getUint32(8, true);
  if (headerLength > MOST_HEADER_BYTES || FIXED_BYTES + headerLength > whole.length)
    return bad('ends within its header');
  const header = parsedHeader(whole.subarray(FIXED_BYTES, FIXED_BYTES + headerLength));
  if (header === undefined) return bad('has a header that cannot be read');
  const rows = view.getUint32(12, true);
  const columns = new Map<string, ColumnArray>();
  for (const { name, type, at } of header.columns) {
    const Kind = KINDS[type];
    if (at < FIXED_BYTES + headerLength || at % ALIGNMENT !== 0) return bad(`puts column "${name}" nowhere`);
    if (at + rows * Kind.BYTES_PER_ELEMENT > whole.length) return bad(`ends within column "${name}"`);
    if (columns.has(name)) return bad(`has column "${name}" twice`);
    columns.set(name, new Kind(whole.buffer as ArrayBuffer, whole.byteOffset + at, rows));
  }
  return success({ about: header.about, rows, columns });
}

interface Header {
  readonly about: Readonly<Record<string, string | number>>;
  readonly columns: readonly { readonly name: string; readonly type: KindName; readonly at: number }[];
}

/** The header names where each column begins, which depends on its own length: it is filled up until that settles. */
function headerOf(block: ColumnBlock): { header: string; total: number } {
  let room = ALIGNMENT;
  for (;;) {
    let at = FIXED_BYTES + room;
    const columns = [...block.columns].map(([name, column]) => {
      const entry = { name, type: kindOf(name, column), at };
      at = aligned(at + column.byteLength);
      return entry;
    });
    const text = inAscii(JSON.stringify({ about: block.about, columns }));
    if (text.length > MOST_HEADER_BYTES - ALIGNMENT)
      throw new RangeError(`a header of ${text.length} bytes is too long`);
    if (text.length <= room) return { header: text.padEnd(room), total: at };
    room = aligned(text.length);
  }
}

function parsedHeader(ascii: Uint8Array): Header | undefined {
  const parts: string[] = [];
  for (let at = 0; at < ascii.length; at += 4096)
    parts.push(String.fromCharCode(...ascii.subarray(at, at + 4096)));
  let found: unknown;
  try {
    found = JSON.parse(parts.join(''));
  } catch {
    return undefined;
  }
  return isHeader(found) ? found : undefined;
}

function isHeader(found: unknown): found is Header {
  if (!isObject(found) || !isObject(found.about) || !Array.isArray(found.columns)) return false;
  const isPlain = (held: unknown) => typeof held === 'string' || Number.isFinite(held);
  return (
    Object.values(found.about).every(isPlain) &&
    found.columns.every(
      (column: unknown) =>
        isObject(column) &&
        typeof column.name === 'string' &&
        typeof column.type === 'string' &&
        Object.hasOwn(KINDS, column.type) &&
        Number.isSafeInteger(column.at),
    )
  );
}

function isObject(found: unknown): found is Record<string, unknown> {
  return typeof found === 'object' && found !== null && !Array.isArray(found);
}

function kindOf(name: string, column: ColumnArray): KindName {
  for (const [kind, Kind] of Object.entries(KINDS)) if (column instanceof Kind) return kind as KindName;
  throw new RangeError(`column "${name}" is of a kind that cannot be sent`);
}

/** JSON with every character beyond ASCII written as `\uXXXX`. */
function inAscii(json: string): string {
  return json.replaceAll(
    /[^\x20-\x7e]/g,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}

function aligned(at: number): number {
  return Math.ceil(at / ALIGNMENT) * ALIGNMENT;
}

function mustBeLittleEndian(): void {
  if (!IS_LITTLE_ENDIAN) throw new RangeError('columns can only be sent between little-endian machines');
}

function bad(why: string): Result<ColumnBlock> {
  const error: DataError = {
    code: 'bad_columns',
    source: 'columns',
    text: `The block of columns ${why}; load it again.`,
  };
  return failure(error);
}
