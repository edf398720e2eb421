import { describe, expect, it } from 'vitest';
import { cuttingLine } from '../../../core/track/cutting-line.ts';
import type { Track } from '../../../core/track/track.ts';

/** Standing at 100, 200 with the nose to N, E, S, W and NE. */
function track(headings_deg: readonly number[]): Track {
  const n = headings_deg.length;
  const column = (fill: number) => new Float64Array(n).fill(fill);
  return {
    t_s: Float64Array.from(headings_deg, (_, i) => i),
    east_m: column(100),
    north_m: column(200),
    speed_m_s: column(2),
    heading_rad: Float64Array.from(headings_deg, (heading) => (heading * Math.PI) / 180),
    position_se_m: column(0.02),
    altitude_m: column(Number.NaN),
    quality: column(4),
    reversing: new Uint8Array(n),
    replaced: new Uint8Array(n),
  };
}

const rounded = (column: Float64Array) => [...column].map((x) => Math.round(x * 1e9) / 1e9);

describe('cuttingLine', () => {
  it('an antenna behind the cutting line: the line is ahead of it, whichever way the nose points', () => {
    const line = cuttingLine(track([0, 90, 180, 270]), { ahead_of_cut_m: -3, right_of_centre_m: 0 });
    expect(rounded(line.east_m)).toEqual([100, 103, 100, 97]);
    expect(rounded(line.north_m)).toEqual([203, 200, 197, 200]);
  });

  it("an antenna right of the middle: the header's middle is to its left", () => {
    const line = cuttingLine(track([0, 90, 180, 270]), { ahead_of_cut_m: 0, right_of_centre_m: 0.5 });
    expect(rounded(line.east_m)).toEqual([99.5, 100, 100.5, 100]);
    expect(rounded(line.north_m)).toEqual([200, 200.5, 200, 199.5]);
  });

  it('both at once on a slant', () => {
    const line = cuttingLine(track([45]), { ahead_of_cut_m: -Math.SQRT2, right_of_centre_m: Math.SQRT2 });
    expect(line.east_m[0]).toBeCloseTo(100 + 1 - 1, 9);
    expect(line.north_m[0]).toBeCloseTo(200 + 1 + 1, 9);
  });

  it('without a sheet the antenna stands for the line; offsets that are no numbers are refused', () => {
    expect(rounded(cuttingLine(track([33]), undefined).east_m)).toEqual([100]);
    expect(() => cuttingLine(track([0]), { ahead_of_cut_m: Number.NaN, right_of_centre_m: 0 })).toThrow(
      /NaN/,
    );
  });
});
