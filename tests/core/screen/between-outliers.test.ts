import { describe, expect, it } from 'vitest';
import { fillBetween } from '../../../core/screen/between-outliers.ts';

const NINE = {
  machine: new Int32Array(9),
  pass: new Int32Array(9),
  duration_s: new Float64Array(9).fill(1),
};

function filled(marks: readonly number[], between_s: number, rows = NINE): number[] {
  const outlying = Uint8Array.from(marks);
  fillBetween(rows, outlying, between_s);
  return [...outlying];
}

describe('stretches between outliers', () => {
  it('are taken along when they are short', () => {
    expect(filled([0, 1, 0, 0, 1, 0, 0, 0, 1], 2)).toEqual([0, 1, 1, 1, 1, 0, 0, 0, 1]);
    expect(filled([0, 1, 0, 0, 1, 0, 0, 0, 1], 3)).toEqual([0, 1, 1, 1, 1, 1, 1, 1, 1]);
    expect(filled([0, 1, 0, 0, 1, 0, 0, 0, 1], 0)).toEqual([0, 1, 0, 0, 1, 0, 0, 0, 1]);
  });

  it('are measured in seconds, within one pass of one machine', () => {
    const slow = { ...NINE, duration_s: new Float64Array(9).fill(3) };
    expect(filled([1, 0, 1, 0, 0, 1, 0, 0, 0], 3, slow)).toEqual([1, 1, 1, 0, 0, 1, 0, 0, 0]);
    const passes = { ...NINE, pass: Int32Array.of(0, 0, 1, 1, 1, 1, 1, 1, 1) };
    expect(filled([1, 0, 1, 0, 1, 0, 0, 0, 0], 3, passes)).toEqual([1, 0, 1, 1, 1, 0, 0, 0, 0]);
    const machines = { ...NINE, machine: Int32Array.of(0, 1, 0, 1, 0, 1, 0, 1, 0) };
    expect(filled([1, 0, 0, 0, 1, 0, 0, 0, 0], 3, machines)).toEqual([1, 0, 1, 0, 1, 0, 0, 0, 0]);
  });
});
