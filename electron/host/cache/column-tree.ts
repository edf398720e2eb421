/**
 * A value of plain objects, arrays and columns ↔ a JSON document and tables of columns. Columns of one kind of object that
 * are equally long become one table, those of all its instances one below the other, with the number of each instance
 * beside them; the document says where each column went. Nothing is rounded: what JSON has no word for (NaN, −0, undefined)
 * gets one.
 */

export type CachedColumn = Float64Array | Float32Array | Int32Array | Uint32Array | Uint8Array;

export interface CachedTable {
  readonly name: string;
  readonly rows: number;
  readonly columns: ReadonlyMap<string, CachedColumn>;
}

/** `json` is plain JSON. */
export interface SplitTree {
  readonly json: unknown;
  readonly tables: readonly CachedTable[];
}

const KINDS = {
  f64: Float64Array,
  f32: Float32Array,
  i32: Int32Array,
  u32: Uint32Array,
  u8: Uint8Array,
} as const;
type KindName = keyof typeof KINDS;

/** Where a column went: table, name in it, first row, rows, kind. */
type Place = [table: string, name: string, from: number, rows: number, kind: KindName];

interface Leaf {
  readonly name: string;
  readonly column: CachedColumn;
  /** Filled in once the tables are known. */
  readonly place: Place;
}

/** All objects at one path, whatever their numbers in arrays. */
interface ObjectKind {
  readonly path: readonly string[];
  readonly arrays: readonly string[];
  readonly instances: { readonly numbers: readonly number[]; readonly leaves: readonly Leaf[] }[];
}

/** Throws RangeError on what it cannot write down, such as an instance of a class. */
export function splitTree(value: unknown): SplitTree {
  const splitter = new Splitter();
  const json = splitter.document(value, { path: [], arrays: [], numbers: [] });
  return { json, tables: splitter.tables() };
}

/** The value again. Throws RangeError when document and tables do not belong together. */
export function joinTree(json: unknown, tables: ReadonlyMap<string, CachedTable>): unknown {
  if (Array.isArray(json)) return json.map((part) => joinTree(part, tables));
  if (typeof json !== 'object' || json === null) return json;
  const entries = Object.entries(json);
  if (entries.length === 1 && entries[0][0].startsWith('$'))
    return special(entries[0][0], entries[0][1], tables);
  return Object.fromEntries(entries.map(([name, part]) => [name, joinTree(part, tables)]));
}

function special(word: string, said: unknown, tables: ReadonlyMap<string, CachedTable>): unknown {
  if (word === '$column') return columnAt(said as Place, tables);
  if (word === '$numbers') {
    const [kind, numbers] = said as [KindName, unknown[]];
    return KINDS[kind].from(numbers.map((number) => joinTree(number, tables) as number));
  }
  if (word === '$number') return said === '-0' ? -0 : Number(said);
  if (word === '$undefined') return undefined;
  if (word === '$object')
    return Object.fromEntries(
      (said as [string, unknown][]).map(([name, part]) => [name, joinTree(part, tables)]),
    );
  throw new RangeError(`"${word}" means nothing in a cached document`);
}

function columnAt([name, columnName, from, rows, kind]: Place, tables: ReadonlyMap<string, CachedTable>) {
  const Kind = KINDS[kind];
  if (rows === 0) return new Kind(0);
  const column = tables.get(name)?.columns.get(columnName);
  if (column === undefined || from + rows > column.length)
    throw new RangeError(`rows ${from} to ${from + rows} of "${columnName}" are not in the table "${name}"`);
  const part = column.subarray(from, from + rows);
  return part instanceof Kind ? part : Kind.from(part);
}

interface Position {
  readonly path: readonly string[];
  readonly arrays: readonly string[];
  readonly numbers: readonly number[];
}

class Splitter {
  readonly #kinds = new Map<string, ObjectKind>();

  document(value: unknown, at: Position): unknown {
    if (value === undefined) return { $undefined: true };
    if (typeof value === 'number')
      return Number.isFinite(value) && !Object.is(value, -0)
        ? value
        : { $number: Object.is(value, -0) ? '-0' : String(value) };
    if (value === null || typeof value === 'string' || typeof value === 'boolean') return value;
    if (ArrayBuffer.isView(value)) {
      const column = value as CachedColumn;
      return { $numbers: [kindOf(column), Array.from(column, (number) => this.document(number, at))] };
    }
    if (Array.isArray(value)) return value.map((part, i) => this.document(part, inArray(at, i)));
    if (typeof value !== 'object' || Object.getPrototypeOf(value) !== Object.prototype)
      throw new RangeError(`${at.path.join('.')} cannot be cached: it is no plain object`);
    return this.#object(value as Record<string, unknown>, at);
  }

  #object(value: Record<string, unknown>, at: Position): unknown {
    const leaves: Leaf[] = [];
    const entries = Object.entries(value).map(([name, part]): [string, unknown] => {
      if (!ArrayBuffer.isView(part)) return [name, this.document(part, { ...at, path: [...at.path, name] })];
      const column = part as CachedColumn;
      const place: Place = ['', name, 0, column.length, kindOf(column)];
      leaves.push({ name, column, place });
      return [name, { $column: place }];
    });
    if (leaves.length > 0) {
      const key = at.path.join('.');
      const kind = this.#kinds.get(key) ?? { path: at.path, arrays: at.arrays, instances: [] };
      kind.instances.push({ numbers: at.numbers, leaves });
      this.#kinds.set(key, kind);
    }
    return entries.some(([name]) => name.startsWith('$'))
      ? { $object: entries }
      : Object.fromEntries(entries);
  }

  tables(): CachedTable[] {
    const taken = new Set<string>();
    return [...this.#kinds.values()].flatMap((kind) => tablesOf(kind, taken));
  }
}

function inArray({ path, arrays, numbers }: Position, i: number): Position {
  return { path, arrays: [...arrays, path.at(-1) ?? 'list'], numbers: [...numbers, i] };
}

/** Columns that are equally long in every instance stand in one table. */
function tablesOf(kind: ObjectKind, taken: Set<string>): CachedTable[] {
  const byName = new Map<string, { readonly leaf: Leaf; readonly numbers: readonly number[] }[]>();
  for (const { numbers, leaves } of kind.instances)
    for (const leaf of leaves) byName.set(leaf.name, [...(byName.get(leaf.name) ?? []), { leaf, numbers }]);
  const groups = new Map<string, string[]>();
  for (const [name, parts] of byName) {
    const shape = parts.map(({ leaf, numbers }) => `${numbers.join('.')}:${leaf.column.length}`).join(' ');
    groups.set(shape, [...(groups.get(shape) ?? []), name]);
  }
  return [...groups.values()].map((names) => {
    const parts = byName.get(names[0]) ?? [];
    const name = freeName(kind.path, names[0], taken);
    const lengths = parts.map(({ leaf }) => leaf.column.length);
    const columns = new Map<string, CachedColumn>();
    kind.arrays.forEach((array, level) => {
      const numbers = parts.map((part) => part.numbers[level]);
      columns.set(`${array}_number`, repeated(numbers, lengths));
    });
    for (const column of names) columns.set(column, stacked(name, byName.get(column) ?? []));
    return { name, rows: lengths.reduce((sum, rows) => sum + rows, 0), columns };
  });
}

/** The last step of the path; more of it, or the first column, where that is taken. */
function freeName(path: readonly string[], column: string, taken: Set<string>): string {
  const plain = path.map((step) => step.replaceAll(/[^A-Za-z0-9_]/g, '_'));
  for (let steps = 1; steps <= plain.length + 1; steps++) {
    for (const last of [[], [column]]) {
      const name = [...plain.slice(-steps), ...last].join('-') || 'columns';
      if (taken.has(name)) continue;
      taken.add(name);
      return name;
    }
  }
  throw new RangeError(`no name is left for the table of ${path.join('.')}.${column}`);
}

function repeated(numbers: readonly number[], lengths: readonly number[]): Int32Array {
  const column = new Int32Array(lengths.reduce((sum, rows) => sum + rows, 0));
  let at = 0;
  numbers.forEach((number, part) => {
    column.fill(number, at, at + lengths[part]);
    at += lengths[part];
  });
  return column;
}

function stacked(table: string, parts: readonly { readonly leaf: Leaf }[]): CachedColumn {
  const Kind = KINDS[kindOf(parts[0].leaf.column)];
  const rows = parts.reduce((sum, { leaf }) => sum + leaf.column.length, 0);
  const column = new Kind(rows);
  let at = 0;
  for (const { leaf } of parts) {
    column.set(leaf.column, at);
    leaf.place[0] = table;
    leaf.place[2] = at;
    at += leaf.column.length;
  }
  return column;
}

function kindOf(column: CachedColumn): KindName {
  for (const [name, Kind] of Object.entries(KINDS)) if (column instanceof Kind) return name as KindName;
  throw new RangeError('a column of this kind cannot be cached');
}
