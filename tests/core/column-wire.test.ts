import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type ColumnBlock, decodeColumns, encodeColumns } from '../../core/column-wire.ts';

const BLOCK: ColumnBlock = {
  about: { field: 'Höhe „Nord“', revision: 'abc', epoch_utc_s: 1_790_000_000 },
  rows: 3,
  columns: new Map<string, Float64Array | Int32Array | Float32Array | Uint8Array>([
    ['t_s', Float64Array.of(0.1, Number.NaN, -1e300)],
    ['pass', Int32Array.of(-1, 0, 2 ** 31 - 1)],
    ['screened_by', Uint8Array.of(0, 255, 7)],
    ['east_m', Float32Array.of(1.5, -0, Number.POSITIVE_INFINITY)],
  ]),
};

function decoded(bytes: Uint8Array): ColumnBlock {
  const found = decodeColumns(bytes);
  if (!found.ok) throw new Error(found.error.text);
  return found.value;
}

function refusal(bytes: Uint8Array): string {
  const found = decodeColumns(bytes);
  if (found.ok) throw new Error('decoded, although it should have been refused');
  expect(found.error.code).toBe('bad_columns');
  return found.error.text;
}

/** The block with one byte or more of its fixed part changed. */
function spoiled(at: number, ...bytes: number[]): Uint8Array {
  const copy = encodeColumns(BLOCK);
  copy.set(bytes, at);
  return copy;
}

describe('columns on the wire', () => {
  it('come back bit for bit, with names and what they belong to', () => {
    expect(decoded(encodeColumns(BLOCK))).toEqual(BLOCK);
  });

  it('lie as the layout says', () => {
    const bytes = encodeColumns({ about: {}, rows: 1, columns: new Map([['a', Float64Array.of(1)]]) });
    const view = new DataView(bytes.buffer);
    expect(String.fromCharCode(...bytes.subarray(0, 4))).toBe('SHFC');
    expect([view.getUint32(4, true), view.getUint32(12, true)]).toEqual([1, 1]);
    const length = view.getUint32(8, true);
    const header = JSON.parse(String.fromCharCode(...bytes.subarray(16, 16 + length)));
    expect(header).toEqual({ about: {}, columns: [{ name: 'a', type: 'f64', at: 16 + length }] });
    // 1.0 as IEEE 754 double, little-endian: 00 00 00 00 00 00 f0 3f
    expect([...bytes.subarray(16 + length)]).toEqual([0, 0, 0, 0, 0, 0, 0xf0, 0x3f]);
  });

  it('need no alignment of the bytes that hold them', () => {
    const bytes = encodeColumns(BLOCK);
    const shifted = new Uint8Array(bytes.length + 3);
    shifted.set(bytes, 3);
    expect(decoded(shifted.subarray(3))).toEqual(BLOCK);
  });

  it('may be empty', () => {
    const empty: ColumnBlock = { about: {}, rows: 0, columns: new Map([['t_s', new Float64Array(0)]]) };
    expect(decoded(encodeColumns(empty))).toEqual(empty);
  });

  it('are the same for any numbers, names and lengths', () => {
    const column = (rows: number) =>
      fc.oneof(
        fc.float64Array({ minLength: rows, maxLength: rows }),
        fc.int32Array({ minLength: rows, maxLength: rows }),
        fc.uint8Array({ minLength: rows, maxLength: rows }),
        fc.float32Array({ minLength: rows, maxLength: rows }),
      );
    const block = fc
      .nat({ max: 40 })
      .chain((rows) =>
        fc
          .array(fc.tuple(fc.string({ unit: 'binary' }), column(rows)), { maxLength: 12 })
          .map((columns): ColumnBlock => ({ about: { rows }, rows, columns: new Map(columns) })),
      );
    fc.assert(
      fc.property(block, (made) => {
        expect(decoded(encodeColumns(made))).toEqual(made);
      }),
      { numRuns: 300, seed: 3 },
    );
  });

  it('refuse what is not theirs with a sentence', () => {
    expect(refusal(new Uint8Array(0))).toBe('The block of columns does not begin as one; load it again.');
    expect(refusal(spoiled(0, 0))).toContain('does not begin as one');
    expect(refusal(spoiled(4, 9))).toContain('is of version 9, and this program reads version 1');
    expect(refusal(spoiled(8, 255, 255, 255, 255))).toContain('ends within its header');
    expect(refusal(spoiled(16, 0))).toContain('has a header that cannot be read');
    expect(refusal(spoiled(12, 255, 255, 255, 255))).toContain('ends within column "t_s"');
    expect(refusal(encodeColumns(BLOCK).subarray(0, -8))).toContain('ends within column');
  });

  it('never throw, whatever byte is changed', () => {
    const sound = encodeColumns(BLOCK);
    fc.assert(
      fc.property(fc.nat({ max: sound.length - 1 }), fc.nat({ max: 255 }), (at, byte) => {
        const found = decodeColumns(spoiled(at, byte));
        expect(found.ok || found.error.code === 'bad_columns').toBe(true);
      }),
      { numRuns: 3000, seed: 4 },
    );
  });

  it('are never sent with a wrong length', () => {
    expect(() => encodeColumns({ ...BLOCK, rows: 4 })).toThrow('column "t_s" has 3 rows, not 4');
  });
});
