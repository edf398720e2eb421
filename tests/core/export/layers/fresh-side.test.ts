import { describe, expect, it } from 'vitest';
import { freshOffsets_m } from '../../../../core/export/layers/fresh-side.ts';
import type { FieldPoints } from '../../../../core/result.ts';
import { makeResult } from '../season-fixture.ts';

const HEADER_M = 9;

interface Pass {
  readonly east_m: number;
  readonly cut_width_m: number;
  readonly isNorthbound: boolean;
}

const ROWS_A_PASS = 20;

/** Straight passes, a row each 2 m and second. */
function driven(passes: readonly Pass[]): FieldPoints {
  const rows = passes.length * ROWS_A_PASS;
  const column = (of: (pass: Pass, k: number, number: number) => number) =>
    Float64Array.from({ length: rows }, (_, row) => {
      const number = Math.floor(row / ROWS_A_PASS);
      return of(passes[number], row % ROWS_A_PASS, number);
    });
  return {
    ...makeResult().points[0],
    t_s: column((_, k, number) => number * 100 + k),
    machine: new Int32Array(rows),
    pass: Int32Array.from(column((_, __, number) => number)),
    east_m: column(({ east_m }) => east_m),
    north_m: column(({ isNorthbound }, k) => (isNorthbound ? 2 * k : 2 * (ROWS_A_PASS - 1 - k))),
    heading_rad: column(({ isNorthbound }) => (isNorthbound ? 0 : Math.PI)),
    distance_m: column(() => 2),
    cut_width_m: column(({ cut_width_m }) => cut_width_m),
  };
}

function offsetsOf(passes: readonly Pass[], outline: readonly Float64Array[] = []): number[] {
  const offsets_m = freshOffsets_m(driven(passes), { header_widths_m: [HEADER_M], outline });
  // all rows of a pass alike
  return passes.map((_, number) => {
    const own = offsets_m.slice(number * ROWS_A_PASS, (number + 1) * ROWS_A_PASS);
    expect(new Set(own).size).toBe(1);
    return own[0];
  });
}

describe('the side of the header that cut', () => {
  it('is the one away from ground that was cut before, whichever way the machine drives', () => {
    const first = { east_m: 0, cut_width_m: 9, isNorthbound: true };
    // 6 m east of it: 3 m of the header run over cut ground, on its left northbound, on its right southbound
    expect(offsetsOf([first, { east_m: 6, cut_width_m: 6, isNorthbound: true }])).toEqual([0, 1.5]);
    expect(offsetsOf([first, { east_m: 6, cut_width_m: 6, isNorthbound: false }])).toEqual([0, -1.5]);
    expect(offsetsOf([first, { east_m: -8, cut_width_m: 8, isNorthbound: true }])).toEqual([0, -0.5]);
  });

  it('is neither where both ends ran over cut ground, or where nothing tells', () => {
    const [left, right] = [0, 15].map((east_m) => ({ east_m, cut_width_m: 9, isNorthbound: true }));
    expect(offsetsOf([left, right, { east_m: 7.5, cut_width_m: 6, isNorthbound: true }])).toEqual([0, 0, 0]);
    expect(offsetsOf([{ east_m: 0, cut_width_m: 5, isNorthbound: true }])).toEqual([0]);
  });

  it('is the one inside the field', () => {
    const field = Float64Array.of(-100, -100, 2, -100, 2, 200, -100, 200, -100, -100);
    expect(offsetsOf([{ east_m: 0, cut_width_m: 6.5, isNorthbound: true }], [field])).toEqual([-1.25]);
  });

  it('knows nothing of what is cut later', () => {
    const later = { east_m: 0, cut_width_m: 9, isNorthbound: true };
    expect(offsetsOf([{ east_m: 6, cut_width_m: 6, isNorthbound: true }, later])).toEqual([0, 0]);
  });
});
