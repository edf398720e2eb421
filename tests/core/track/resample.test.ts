import { describe, expect, it } from 'vitest';
import { resampleTrack } from '../../../core/track/resample.ts';
import { shortTurn } from '../../../core/track/short-turn.ts';
import type { Track } from '../../../core/track/track.ts';

/** Rows of t, east, north, speed, heading in degrees; the rest is plain. */
function track(rows: readonly (readonly number[])[], change: Partial<Track> = {}): Track {
  const column = (k: number) => Float64Array.from(rows, (row) => row[k]);
  return {
    t_s: column(0),
    east_m: column(1),
    north_m: column(2),
    speed_m_s: column(3),
    heading_rad: column(4).map((deg) => (deg * Math.PI) / 180),
    position_se_m: column(0).map((_, i) => 0.1 * (i + 1)),
    altitude_m: column(0).map((_, i) => 100 + i),
    quality: column(0).map((_, i) => 4 + i),
    reversing: new Uint8Array(rows.length),
    replaced: Uint8Array.from(rows, (_, i) => i),
    ...change,
  };
}
const at = (source: Track, ...t_s: number[]) => resampleTrack(source, Float64Array.from(t_s));

describe('track at other moments', () => {
  it('is itself at its own rows', () => {
    const source = track([
      [0, 0, 0, 2, 0],
      [1, 0, 2, 2, 90],
      [2, 2, 2, 2, 90],
    ]);
    const same = resampleTrack(source, source.t_s);
    expect([...same.east_m]).toEqual([0, 0, 2]);
    expect([...same.replaced]).toEqual([0, 1, 2]);
    expect([...same.quality]).toEqual([4, 5, 6]);
  });

  it('lies on the straight line at even speed', () => {
    const half = at(
      track([
        [0, 0, 0, 2, 0],
        [1, 0, 2, 2, 0],
      ]),
      0.25,
      0.5,
    );
    expect(half.north_m[0]).toBeCloseTo(0.5, 12);
    expect(half.east_m[1]).toBeCloseTo(0, 12);
    expect(half.altitude_m[1]).toBe(100.5);
    // quality and masks of the row before, the worse error of the two
    expect([half.quality[1], half.replaced[1], half.position_se_m[1]]).toEqual([4, 0, 0.2]);
  });

  it('stays round in a turn: on a circle to a millimetre', () => {
    // a circle of 10 m at 0.2 rad/s: 2 m/s
    const circle = track(
      [0, 1].map((t) => [
        t,
        10 - 10 * Math.cos(0.2 * t),
        10 * Math.sin(0.2 * t),
        2,
        (0.2 * t * 180) / Math.PI,
      ]),
    );
    const middle = at(circle, 0.5);
    expect(middle.east_m[0]).toBeCloseTo(10 - 10 * Math.cos(0.1), 3);
    expect(middle.north_m[0]).toBeCloseTo(10 * Math.sin(0.1), 3);
    expect(middle.heading_rad[0]).toBeCloseTo(0.1, 12);
  });

  it('turns the short way round north', () => {
    const heading = at(
      track([
        [0, 0, 0, 1, 350],
        [1, 0, 1, 1, 10],
      ]),
      0.5,
    ).heading_rad[0];
    expect(Math.cos(heading)).toBeCloseTo(1, 12);
    expect(shortTurn(0.1, 2 * Math.PI - 0.1)).toBeCloseTo(-0.2, 12);
  });

  it('backs against its heading', () => {
    const back = at(
      track(
        [
          [0, 0, 2, 2, 0],
          [1, 0, 0, 2, 0],
        ],
        { reversing: Uint8Array.of(1, 1) },
      ),
      0.5,
    );
    expect(back.north_m[0]).toBeCloseTo(1, 12);
  });

  it('crosses a long gap on the straight line', () => {
    expect(
      at(
        track([
          [0, 0, 0, 9, 90],
          [6, 0, 6, 9, 90],
        ]),
        3,
      ).east_m[0],
    ).toBe(0);
  });

  it('of a single row is that row, and elsewhere there is none', () => {
    const lone = track([[5, 1, 2, 0, 0]]);
    expect(at(lone, 5).north_m[0]).toBe(2);
    expect(() => at(lone, 6)).toThrow(RangeError);
    expect(() => at(lone, Number.NaN)).toThrow(/NaN/);
    expect(at(lone).t_s).toHaveLength(0);
  });
});
