import { describe, expect, it } from 'vitest';
import { groundFromTrack, type TrackGround } from '../../../core/track/ground-from-track.ts';
import type { Track } from '../../../core/track/track.ts';

/** North at 2 m/s, a row every `step_s`. */
function track(t_s: readonly number[], change: Partial<Track> = {}): Track {
  const of = (x: number) => new Float64Array(t_s.length).fill(x);
  return {
    t_s: Float64Array.from(t_s),
    east_m: of(0),
    north_m: Float64Array.from(t_s, (t) => 2 * t),
    speed_m_s: of(2),
    heading_rad: of(0),
    position_se_m: of(0.1),
    altitude_m: of(0),
    quality: of(4),
    reversing: new Uint8Array(t_s.length),
    replaced: new Uint8Array(t_s.length),
    ...change,
  };
}
const seconds = (from_s: number, to_s: number, step_s = 1) =>
  Array.from({ length: Math.round((to_s - from_s) / step_s) + 1 }, (_, i) => from_s + i * step_s);
const NO_HEADER = { t_s: new Float64Array(), up: new Uint8Array() };

const ground = (source: Track, change: Partial<TrackGround> = {}) =>
  groundFromTrack({
    track: source,
    visits: [{ from_s: source.t_s[0], to_s: source.t_s[source.t_s.length - 1] }],
    header: NO_HEADER,
    grainComes: undefined,
    antenna: undefined,
    header_width_m: 9,
    point_interval_s: 1,
    ...change,
  });

describe('ground from a track', () => {
  it('has a row an interval, end to end', () => {
    const rows = ground(track(seconds(0, 30)));
    expect(rows.t0_s).toHaveLength(30);
    expect([...rows.t1_s.subarray(0, 29)]).toEqual([...rows.t0_s.subarray(1)]);
    expect(rows.distance_m[7]).toBeCloseTo(2, 12);
    expect(rows.speed_m_s[7]).toBeCloseTo(2, 12);
    expect(rows.pass[15]).toBe(0);
    expect([...rows.no_fix]).toEqual(new Array(30).fill(0));
  });

  it('joins fixes that come faster than points are wanted, and keeps the last one', () => {
    const rows = ground(track(seconds(0, 10.5, 0.1)));
    expect(rows.t0_s).toHaveLength(11);
    expect(rows.t1_s[9]).toBeCloseTo(10, 9);
    expect(rows.t1_s[10]).toBeCloseTo(10.5, 9);
  });

  it('begins a row at each move of the header between fixes, but not beside one', () => {
    const header = { t_s: Float64Array.of(0, 10.4, 20.03), up: Uint8Array.of(1, 0, 1) };
    const rows = ground(track(seconds(0, 30)), { header });
    expect([...rows.t0_s]).toContain(10.4);
    expect([...rows.t0_s]).not.toContain(20.03);
    const cutting = [...rows.pass.keys()].filter((i) => rows.pass[i] >= 0);
    expect(rows.t0_s[cutting[0]]).toBe(10.4);
    expect(rows.t1_s[cutting[cutting.length - 1]]).toBe(20);
  });

  it('keeps visits apart, with passes counted on, and no row between them', () => {
    const t_s = [...seconds(0, 30), ...seconds(500, 530)];
    const rows = ground(track(t_s), {
      visits: [
        { from_s: 0, to_s: 30 },
        { from_s: 500, to_s: 530 },
      ],
    });
    expect(rows.t0_s).toHaveLength(60);
    expect(rows.t1_s[29]).toBe(30);
    expect(rows.t0_s[30]).toBe(500);
    expect([rows.pass[10], rows.pass[45]]).toEqual([0, 1]);
    expect(ground(track(t_s), { visits: [{ from_s: 5, to_s: 5 }] }).t0_s).toHaveLength(0);
  });

  it('marks rows over a silence and rows of a replaced fix', () => {
    const t_s = [...seconds(0, 10), ...seconds(17, 30)];
    const replaced = new Uint8Array(t_s.length);
    replaced[3] = 1;
    const rows = ground(track(t_s, { replaced }));
    expect([...rows.no_fix.keys()].filter((i) => rows.no_fix[i] === 1)).toEqual([2, 3, 10]);
    expect(rows.t1_s[10] - rows.t0_s[10]).toBe(7);
  });

  it('cuts nothing while backing, nor where no grain comes', () => {
    const reversing = Uint8Array.from(seconds(0, 30), (t) => (t >= 28 ? 1 : 0));
    expect(ground(track(seconds(0, 30), { reversing })).pass[29]).toBe(-1);
    const idle = ground(track(seconds(0, 30)), { grainComes: () => false });
    expect([...idle.pass]).toEqual(new Array(30).fill(-1));
  });
});
