import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type CachedTable, joinTree, splitTree } from '../../../../electron/host/cache/column-tree.ts';
import { parquetBytes, readParquetTable } from '../../../../electron/host/cache/parquet-table.ts';

let scratch: string;
beforeAll(() => {
  scratch = mkdtempSync(join(tmpdir(), 'sheaflight-tables-'));
});
afterAll(() => rmSync(scratch, { recursive: true }));

async function written(table: CachedTable): Promise<CachedTable> {
  const path = join(scratch, 'one.parquet');
  const bytes = parquetBytes(table, { program: 'test' });
  writeFileSync(path, bytes);
  const read = await readParquetTable(table.name, path);
  expect(read.sha256).toBe(createHash('sha256').update(bytes).digest('hex'));
  return read.table;
}

/** Through JSON and Parquet and back. */
async function roundTrip(value: unknown): Promise<unknown> {
  const { json, tables } = splitTree(value);
  const read = new Map();
  for (const table of tables) {
    if (table.rows === 0) continue;
    read.set(table.name, await written(table));
  }
  return joinTree(JSON.parse(JSON.stringify(json)), read);
}

const column = fc.oneof(
  fc.float64Array({ maxLength: 5 }),
  fc.float32Array({ maxLength: 5 }),
  fc.int32Array({ maxLength: 5 }),
  fc.uint32Array({ maxLength: 5 }),
  fc.uint8Array({ maxLength: 5 }),
);
const word = fc.oneof(fc.string(), fc.constantFrom('$column', '$number', 'a', 'b', '$'));
const { tree } = fc.letrec((tie) => ({
  tree: fc.oneof(
    { depthSize: 'small', withCrossShrink: true },
    fc.double(),
    fc.constantFrom(-0, Number.NaN, Number.POSITIVE_INFINITY, undefined, null, true),
    fc.string(),
    column,
    fc.array(tie('tree'), { maxLength: 4 }),
    fc.dictionary(word, tie('tree'), { maxKeys: 4, noNullPrototype: true }),
  ),
}));

describe('a value as tables and a document', () => {
  it('comes back to the last bit, whatever it holds', async () => {
    await fc.assert(
      fc.asyncProperty(tree, async (value) => {
        expect(await roundTrip(value)).toStrictEqual(value);
      }),
      { numRuns: 150, seed: 20_261_003 },
    );
  });

  it('has one flat table for the columns of all objects of a kind', async () => {
    const run = (from: number, rows: number) => ({
      source: `logs/${from}`,
      fixes: {
        utc_s: Float64Array.from({ length: rows }, (_, i) => from + i),
        quality: Float64Array.from({ length: rows }, () => 4),
      },
    });
    const { tables } = splitTree({ runs: [run(10, 2), run(20, 0), run(30, 3)] });
    expect(tables.map(({ name, rows }) => [name, rows])).toEqual([['fixes', 5]]);
    const read = await written(tables[0]);
    expect(Object.fromEntries(read.columns)).toEqual({
      runs_number: Int32Array.of(0, 0, 2, 2, 2),
      utc_s: Float64Array.of(10, 11, 30, 31, 32),
      quality: Float64Array.of(4, 4, 4, 4, 4),
    });
  });

  it('keeps columns of other lengths, and of two kinds of the same name, in tables of their own', () => {
    const paddles = (rows: number) => ({ step_us: new Uint32Array(rows), spell_us: new Float64Array(1) });
    const { tables } = splitTree({ one: { paddles: paddles(4) }, two: { paddles: paddles(3) } });
    const names = tables.map(({ name }) => name);
    expect(new Set(names).size).toBe(4);
    expect(names).toContain('paddles');
    expect(names.every((name) => name.includes('paddles'))).toBe(true);
  });

  it('is refused where it is more than data', () => {
    expect(() => splitTree({ kept: { by: new Map() } })).toThrow('kept.by');
  });

  it('is not put together from tables that it does not belong to', () => {
    const { json } = splitTree({ kept: { t_s: Float64Array.of(1, 2) } });
    expect(() => joinTree(json, new Map())).toThrow('t_s');
    expect(() => joinTree({ $what: 1 }, new Map())).toThrow('$what');
  });
});
