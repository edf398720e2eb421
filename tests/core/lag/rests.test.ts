/** A field cut on two days seen as if it had been cut in one go. */
import { describe, expect, it } from 'vitest';
import type { CutRecord } from '../../../core/lag/cut-record.ts';
import { estimateEndsOfPasses } from '../../../core/lag/ends-of-passes.ts';
import { responseMismatch } from '../../../core/lag/response-mismatch.ts';
import { spellsBetweenRests, withoutRests } from '../../../core/lag/rests.ts';

const DAY_S = 86_400;

/** One row a second, with grain of 1 a second 10 s later and a reading every 5 s that tells its own second of the day. */
function cutFrom(starts_s: readonly number[], seconds: number) {
  const t0_s = Float64Array.from(
    starts_s.flatMap((start) => Array.from({ length: seconds }, (_, k) => start + k)),
  );
  const column = (of: (i: number) => number) => Float64Array.from(t0_s, (_, i) => of(i));
  const record: CutRecord = {
    t0_s,
    t1_s: t0_s.map((s) => s + 1),
    fresh_area_m2: column(() => 18),
    east_m: column((i) => i),
    north_m: column(() => 0),
    heading_rad: column(() => 0),
    width_share: column(() => 1),
    header_width_m: 9,
  };
  const knots = starts_s.flatMap((start) => [start + 10, start + 10 + seconds]);
  const readings = starts_s.flatMap((start) => Array.from({ length: seconds / 5 }, (_, k) => start + 5 * k));
  return {
    record,
    pass: Int32Array.from(t0_s, () => 0),
    passage: {
      t_s: Float64Array.from(knots),
      cumulative: Float64Array.from(knots, (_, k) => seconds * Math.ceil(k / 2)),
      basis: 'volume' as const,
    },
    moisture: {
      t_s: Float64Array.from(readings),
      moisture_pct: Float64Array.from(readings, (s) => s % DAY_S),
    },
  };
}

describe('rests', () => {
  it('of a quarter of an hour part spells; shorter ones, and rows as long, do not belong to any', () => {
    const t0_s = Float64Array.of(0, 10, 900, 1900, 5000, 6000);
    const t1_s = Float64Array.of(10, 20, 910, 1910, 6000, 6010);
    expect(spellsBetweenRests(t0_s, t1_s)).toEqual([
      { from: 0, to: 3 },
      { from: 3, to: 4 },
      { from: 5, to: 6 },
    ]);
    expect(spellsBetweenRests(new Float64Array(), new Float64Array())).toEqual([]);
  });

  it('leave a field cut in one go as it is', () => {
    const plot = cutFrom([1000], 600);
    expect(withoutRests(plot)).toEqual(plot);
  });

  it('are taken out of rows, grain and readings alike, by whole half seconds', () => {
    const two = withoutRests(cutFrom([1000, 1000 + DAY_S + 0.3], 600));
    const { t0_s, t1_s } = two.record;
    const moved_s = t0_s[600] - t1_s[599];
    expect(moved_s).toBeGreaterThanOrEqual(250);
    expect(moved_s).toBeLessThan(251);
    expect((DAY_S + 0.3 - (t0_s[600] - t0_s[0])) % 0.5).toBeCloseTo(0, 9);
    // grain comes 10 s after the ground on either day, and none in between
    expect(two.passage.t_s[2] - t0_s[600]).toBeCloseTo(10, 9);
    expect([...two.passage.cumulative]).toEqual([0, 600, 600, 1200]);
    // readings still stand at their own rows
    expect(two.moisture.t_s[120] - t0_s[600]).toBeCloseTo(0, 9);
    expect(two.moisture.moisture_pct[120]).toBeCloseTo(1000.3, 6);
    expect(two.moisture.t_s.every((s, k) => k === 0 || s > two.moisture.t_s[k - 1])).toBe(true);
  });

  it('leave out the grain that other fields gave in them', () => {
    const plot = cutFrom([1000, 1000 + DAY_S], 600);
    const elsewhere = {
      ...plot.passage,
      t_s: Float64Array.of(1010, 1610, 20_000, 30_000, 1010 + DAY_S, 1610 + DAY_S),
      cumulative: Float64Array.of(0, 600, 600, 9000, 9000, 9600),
    };
    expect([...withoutRests({ ...plot, passage: elsewhere }).passage.cumulative]).toEqual([
      0, 600, 600, 1200,
    ]);
  });

  it('do not change what mixing makes of the ground', () => {
    const one = cutFrom([1000], 600);
    const two = cutFrom([1000, 1000 + DAY_S], 600);
    const expected = responseMismatch(one.record, 3);
    const found = responseMismatch(two.record, 3);
    expect(Math.max(...found.subarray(0, 600).map((x, i) => Math.abs(x - expected[i])))).toBeLessThan(1e-12);
    expect(Math.max(...found.subarray(600).map((x, i) => Math.abs(x - expected[i])))).toBeLessThan(1e-9);
    expect(expected[0]).toBeLessThan(-0.2);
  });

  it('do not keep the ends of passes from telling the lag', () => {
    const starts = Array.from({ length: 14 }, (_, k) => 1000 + 180 * k + (k < 7 ? 0 : DAY_S));
    const found = withoutRests(cutFrom(starts, 150));
    const lag = estimateEndsOfPasses(found.record, found.passage);
    expect(lag?.transport_s).toBeCloseTo(10, 0);
  });
});
