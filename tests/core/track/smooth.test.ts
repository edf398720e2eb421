import { describe, expect, it } from 'vitest';
import { localFrame } from '../../../core/track/local-frame.ts';
import { smoothTrack } from '../../../core/track/smooth.ts';
import type { TimedFixes, Track } from '../../../core/track/track.ts';
import {
  columnsOf,
  drivenWay,
  type Leg,
  type LoggedFixes,
  loggedFixes,
  type Receiver,
  type Way,
} from './driven-way.ts';

const FRAME = localFrame(-93.5, 42);

/** Up and down a field of 300 m with half circles of 6 m between. */
function upAndDown(passes: number): Leg[] {
  return Array.from({ length: passes }, (_, pass): Leg[] => [
    { duration_s: 150, speed_m_s: 2 },
    { duration_s: Math.PI * 3, speed_m_s: 2, curvature_per_m: pass % 2 === 0 ? 1 / 6 : -1 / 6 },
  ]).flat();
}

const rms = (errors: readonly number[]) =>
  Math.sqrt(errors.reduce((sum, x) => sum + x * x, 0) / errors.length);

function headingError(track: Track, way: Way, k: number): number {
  const turn = track.heading_rad[k] - way.heading_rad[k];
  return Math.atan2(Math.sin(turn), Math.cos(turn));
}

/** Rows more than 5 s from a turn and 10 s from the start. */
function straightRows(way: Way): number[] {
  const rows: number[] = [];
  for (let k = 0; k < way.t_s.length; k++) {
    const near = way.t_s.map((t, j) => (Math.abs(t - way.t_s[k]) <= 5 ? way.leg[j] % 2 : 0));
    if (way.t_s[k] > 10 && !near.includes(1)) rows.push(k);
  }
  return rows;
}

function smoothed(way: Way, receiver: Receiver, spoil: (logged: LoggedFixes) => void = () => {}) {
  const logged = loggedFixes(way, receiver);
  spoil(logged);
  return smoothTrack(columnsOf(logged, FRAME), FRAME);
}

describe('smoothTrack', () => {
  const oneHertz = drivenWay(upAndDown(8), 1);
  const tenHertz = drivenWay(upAndDown(3), 0.1);

  it.each([
    ['RTK', { seed: 1, white_m: 0.02 }],
    ['RTK without speed and course', { seed: 2, white_m: 0.02, velocity_m_s: Number.NaN }],
    ['0.1 m', { seed: 3, white_m: 0.1 }],
    ['0.3 m', { seed: 4, white_m: 0.3 }],
    ['0.3 m without speed and course', { seed: 5, white_m: 0.3, velocity_m_s: Number.NaN }],
    ['0.2 m and a drift of 0.3 m', { seed: 6, white_m: 0.2, slow_m: 0.3, quality: 2 }],
    ['0.3 m, labelled RTK', { seed: 7, white_m: 0.3, quality: 4 }],
    ['0.02 m, labelled single', { seed: 8, white_m: 0.02, quality: 1 }],
  ])('1 Hz, %s: headings on straights to 0.5°, distances to 0.3 %%', (_, receiver) => {
    const { track } = smoothed(oneHertz, receiver);
    const rows = straightRows(oneHertz);
    expect(rms(rows.map((k) => headingError(track, oneHertz, k)))).toBeLessThan((0.5 * Math.PI) / 180);
    const speed = rows.map((k) => track.speed_m_s[k] / oneHertz.speed_m_s[k] - 1);
    expect(Math.abs(speed.reduce((sum, x) => sum + x, 0) / speed.length)).toBeLessThan(0.003);
  });

  it('10 Hz with lasting noise: headings on straights to 0.5°', () => {
    const { track } = smoothed(tenHertz, {
      seed: 9,
      white_m: 0.05,
      slow_m: 0.3,
      quality: 2,
      velocity_m_s: Number.NaN,
    });
    const rows = straightRows(tenHertz).filter((_, i) => i % 7 === 0);
    expect(rms(rows.map((k) => headingError(track, tenHertz, k)))).toBeLessThan((0.5 * Math.PI) / 180);
  });

  it.each([0.02, 0.1, 0.3])('finds the noise of %f m whatever the label says', (white_m) => {
    for (const quality of [1, 2, 4, 5, Number.NaN]) {
      const { white_noise_m } = smoothed(oneHertz, { seed: 10, white_m, quality });
      expect(white_noise_m.get(quality)! / white_m).toBeGreaterThan(0.85);
      expect(white_noise_m.get(quality)! / white_m).toBeLessThan(1.25);
    }
  });

  it('halves white noise at least, and its standard error is honest', () => {
    for (const white_m of [0.02, 0.1, 0.3]) {
      const { track } = smoothed(oneHertz, { seed: 11, white_m });
      const errors = straightRows(oneHertz).flatMap((k) => [
        track.east_m[k] - oneHertz.east_m[k],
        track.north_m[k] - oneHertz.north_m[k],
      ]);
      expect(rms(errors)).toBeLessThan(white_m / 2);
      const claimed = rms(straightRows(oneHertz).map((k) => track.position_se_m[k]));
      expect(claimed).toBeGreaterThan(rms(errors) / 1.5);
    }
  });

  it('turns keep their shape: RTK to 4 cm, curves of 50 m to 3 cm', () => {
    const { track } = smoothed(oneHertz, { seed: 12, white_m: 0.02 });
    const turning = [...oneHertz.leg.keys()].filter((k) => oneHertz.leg[k] % 2 === 1);
    expect(
      rms(
        turning.map((k) =>
          Math.hypot(track.east_m[k] - oneHertz.east_m[k], track.north_m[k] - oneHertz.north_m[k]),
        ),
      ),
    ).toBeLessThan(0.04);
    const contour = drivenWay(
      [0, 1, 2, 3, 4, 5].map((i) => ({
        duration_s: 60,
        speed_m_s: 2,
        curvature_per_m: i % 2 ? 0.02 : -0.02,
      })),
      1,
    );
    const bent = smoothed(contour, { seed: 13, white_m: 0.02 }).track;
    const rows = [...contour.leg.keys()].slice(10);
    expect(
      rms(
        rows.map((k) => Math.hypot(bent.east_m[k] - contour.east_m[k], bent.north_m[k] - contour.north_m[k])),
      ),
    ).toBeLessThan(0.03);
  });

  it('outliers are replaced and counted, and good fixes are not', () => {
    const spoilt = [40, 41, 100, 333, 500, 501, 502, 900];
    const { track, counts } = smoothed(oneHertz, { seed: 14, white_m: 0.02 }, (logged) => {
      for (const k of spoilt) {
        logged.east_m[k] += 3 + k / 20;
        logged.north_m[k] -= 2;
      }
    });
    expect([...track.replaced.keys()].filter((k) => track.replaced[k])).toEqual(spoilt);
    for (const k of spoilt) expect(Math.abs(track.east_m[k] - oneHertz.east_m[k])).toBeLessThan(0.3);
    expect(counts.replaced).toBe(spoilt.length);
  });

  it('an outlier at the very start does not throw the log away', () => {
    const { track } = smoothed(oneHertz, { seed: 15, white_m: 0.02 }, (logged) => {
      logged.east_m[0] = 5000;
    });
    expect(track.replaced[0]).toBe(1);
    expect(Math.abs(track.east_m[0])).toBeLessThan(5);
    expect(track.replaced.reduce((sum, one) => sum + one, 0)).toBe(1);
    expect(Math.abs(track.east_m[200] - oneHertz.east_m[200])).toBeLessThan(0.1);
  });

  it('after a lasting jump the new place is believed', () => {
    const { track } = smoothed(oneHertz, { seed: 16, white_m: 0.02 }, (logged) => {
      for (let k = 300; k < logged.t_s.length; k++) logged.east_m[k] += 500;
    });
    expect(Math.abs(track.east_m[400] - oneHertz.east_m[400] - 500)).toBeLessThan(0.1);
    expect(track.replaced.reduce((sum, one) => sum + one, 0)).toBe(0);
  });

  it('bridges short dropouts and starts anew after long ones', () => {
    const keep = (logged: LoggedFixes, drop: (k: number) => boolean) => {
      for (const column of Object.values(logged) as number[][])
        column.splice(0, column.length, ...column.filter((_, k) => !drop(k)));
    };
    const { track } = smoothed(oneHertz, { seed: 17, white_m: 0.02 }, (logged) =>
      keep(logged, (k) => (k > 50 && k < 54) || (k > 90 && k < 120)),
    );
    expect(track.t_s.length).toBe(oneHertz.t_s.length - 3 - 29);
    expect(track.t_s).not.toContain(52);
    const at = track.t_s.indexOf(120);
    expect(Math.abs(track.east_m[at] - oneHertz.east_m[120])).toBeLessThan(0.1);
    expect(track.position_se_m[track.t_s.indexOf(54)]).toBeLessThan(0.03);
  });

  it('drops and counts fixes that repeat or step back in time, fixes of quality 0 and at 0, 0', () => {
    const clean = smoothed(oneHertz, { seed: 18, white_m: 0.02 }).track;
    const fixes = columnsOf(loggedFixes(oneHertz, { seed: 18, white_m: 0.02 }), FRAME);
    const withRow = (at: number, row: Partial<Record<keyof TimedFixes, number>>, to: TimedFixes) =>
      Object.fromEntries(
        Object.entries(to).map(([name, column]: [string, Float64Array]) => [
          name,
          Float64Array.of(
            ...column.slice(0, at),
            row[name as keyof TimedFixes] ?? column[at - 1],
            ...column.slice(at),
          ),
        ]),
      ) as unknown as TimedFixes;
    let spoilt = withRow(100, {}, fixes);
    spoilt = withRow(200, { t_s: 150 }, spoilt);
    spoilt = withRow(300, { t_s: 90_000 }, spoilt);
    spoilt = withRow(400, { t_s: 398.6, quality: 0 }, spoilt);
    spoilt = withRow(500, { t_s: 495.5, latitude_deg: 0, longitude_deg: 0 }, spoilt);
    const { track, counts } = smoothTrack(spoilt, FRAME);
    expect(track.t_s).toEqual(clean.t_s);
    expect(track.east_m).toEqual(clean.east_m);
    expect(counts).toEqual({ fixes: spoilt.t_s.length, unlocated: 2, untimely: 3, replaced: 0 });
  });

  it('holds the heading while standing, and the nose while backing', () => {
    const way = drivenWay(
      [
        { duration_s: 60, speed_m_s: 2 },
        { duration_s: 40, speed_m_s: 0 },
        { duration_s: 15, speed_m_s: -1 },
        { duration_s: 40, speed_m_s: 1.8 },
        // back out of a corner without standing
        { duration_s: 12, speed_m_s: -1.2, curvature_per_m: 0.05 },
        { duration_s: 60, speed_m_s: 2 },
      ],
      1,
    );
    for (const velocity_m_s of [0.05, Number.NaN]) {
      const { track } = smoothed(way, { seed: 19, white_m: 0.02, velocity_m_s });
      for (let k = 8; k < way.t_s.length; k++)
        expect(Math.abs(headingError(track, way, k))).toBeLessThan(0.15);
      for (let k = 8; k < way.t_s.length; k++) {
        if (Math.abs(way.speed_m_s[k]) > 0.6) expect(track.reversing[k]).toBe(way.speed_m_s[k] < 0 ? 1 : 0);
      }
      for (const column of Object.values(track)) expect(column.length).toBe(way.t_s.length);
    }
  });

  it('a half circle is no backing, even at one fix in 3 s', () => {
    const way = drivenWay(upAndDown(4), 3);
    const { track } = smoothed(way, { seed: 20, white_m: 0.1 });
    expect(track.reversing.reduce((sum, one) => sum + one, 0)).toBe(0);
  });

  it('a machine that drives on backwards for long has turned unseen', () => {
    const way = drivenWay(
      [
        { duration_s: 60, speed_m_s: 2 },
        { duration_s: 120, speed_m_s: -2 },
      ],
      1,
    );
    const { track } = smoothed(way, { seed: 21, white_m: 0.02 });
    expect(track.reversing.reduce((sum, one) => sum + one, 0)).toBe(0);
    expect(Math.abs(Math.abs(headingError(track, way, 150)) - Math.PI)).toBeLessThan(0.02);
  });

  it('fixes of poor geometry count for less', () => {
    const fixes = columnsOf(loggedFixes(oneHertz, { seed: 23, white_m: 0.1 }), FRAME);
    const hdop = fixes.t_s.map((_, k) => (k > 60 && k < 90 ? 2.5 : 0.9));
    const { track } = smoothTrack({ ...fixes, hdop }, FRAME);
    expect(track.position_se_m[75]).toBeGreaterThan(1.3 * track.position_se_m[40]);
  });

  it('no fixes, one fix, two fixes', () => {
    const cut = (n: number): TimedFixes => {
      const all = columnsOf(loggedFixes(oneHertz, { seed: 22, white_m: 0.02 }), FRAME);
      return Object.fromEntries(
        Object.entries(all).map(([name, column]) => [name, column.slice(0, n)]),
      ) as unknown as TimedFixes;
    };
    for (const n of [0, 1, 2]) {
      const { track } = smoothTrack(cut(n), FRAME);
      expect(track.t_s.length).toBe(n);
      for (const column of Object.values(track))
        for (const x of column as Float64Array) if (column !== track.altitude_m) expect(x).not.toBeNaN();
    }
  });

  it('refuses a gap that is none', () => {
    expect(() =>
      smoothTrack(columnsOf(loggedFixes(oneHertz, { seed: 1, white_m: 0 }), FRAME), FRAME, { gap_s: 0 }),
    ).toThrow(/gap_s.*0/);
  });
});
