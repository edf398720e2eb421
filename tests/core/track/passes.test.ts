import { describe, expect, it } from 'vitest';
import { localFrame } from '../../../core/track/local-frame.ts';
import { findPasses, type PassesSolution } from '../../../core/track/passes.ts';
import { smoothTrack } from '../../../core/track/smooth.ts';
import type { Track } from '../../../core/track/track.ts';
import { columnsOf, drivenWay, type Leg, loggedFixes, type Way } from './driven-way.ts';

const FRAME = localFrame(-93.5, 42);
const PASS: Leg = { duration_s: 80, speed_m_s: 2 };
const turn = (way: 1 | -1): Leg => ({ duration_s: 9.5, speed_m_s: 2, curvature_per_m: way / 6 });
const STAND: Leg = { duration_s: 5, speed_m_s: 0 };

function track(way: Way, white_m = 0.02): Track {
  return smoothTrack(columnsOf(loggedFixes(way, { seed: 3, white_m }), FRAME), FRAME).track;
}

/** Header down during the legs named, with the exact times of its moves. */
function headerOf(legs: readonly Leg[], isDown: (leg: number) => boolean) {
  const t_s: number[] = [-10];
  const up: number[] = [1];
  let at = 0;
  legs.forEach((leg, i) => {
    if (up.at(-1) !== (isDown(i) ? 0 : 1)) {
      t_s.push(at);
      up.push(isDown(i) ? 0 : 1);
    }
    at += leg.duration_s;
  });
  return { t_s: Float64Array.from(t_s), up: Uint8Array.from(up) };
}

/** [first, last] interval of each pass. */
function spans(solution: PassesSolution): number[][] {
  return Array.from({ length: solution.pass_count }, (_, number) => [
    solution.pass.indexOf(number),
    solution.pass.lastIndexOf(number),
  ]);
}

describe('findPasses', () => {
  const legs = [STAND, PASS, turn(1), PASS, turn(-1), PASS, STAND];
  const way = drivenWay(legs, 1);

  it('by the header switch: to the exact time of its moves', () => {
    const solution = findPasses({ ...track(way), header: headerOf(legs, (i) => legs[i] === PASS) });
    expect(solution.basis).toBe('header');
    expect(spans(solution)).toEqual([
      [5, 84],
      [94, 174],
      [184, 263],
    ]);
    expect(solution.cutting_fraction[94]).toBeCloseTo(0.5, 9);
    expect(solution.cut_from[94]).toBeCloseTo(0.5, 9);
    expect(solution.cut_to[174]).toBeCloseTo(0.5, 9);
    expect(solution.cutting_fraction[100]).toBe(1);
    expect(solution.cutting_fraction[90]).toBe(0);
    for (let i = 0; i < solution.pass.length; i++) {
      expect(solution.cutting[i]).toBe(solution.pass[i] >= 0 ? 1 : 0);
      if (solution.pass[i] < 0) expect(solution.cut_to[i] - solution.cut_from[i]).toBe(0);
    }
  });

  it('the header up within one interval parts two passes', () => {
    const header = { t_s: Float64Array.of(0, 20.2, 20.8), up: Uint8Array.of(0, 1, 0) };
    const solution = findPasses({ ...track(drivenWay([PASS], 1)), header });
    expect(solution.cutting_fraction[20]).toBeCloseTo(0.4, 9);
    expect(solution.pass[19]).not.toBe(solution.pass[21]);
  });

  it('a bouncing switch does not part a pass', () => {
    const header = {
      t_s: Float64Array.of(-10, 0, 20.2, 20.4, 50, 50.1, 79),
      up: Uint8Array.of(1, 0, 1, 0, 1, 0, 1),
    };
    const solution = findPasses({ ...track(drivenWay([PASS], 1)), header });
    expect(solution.pass_count).toBe(1);
    expect(solution.cutting_fraction[20]).toBe(1);
  });

  it.each([0.02, 0.3])('by motion alone, noise of %f m: the straights, to a few seconds', (white_m) => {
    const solution = findPasses(track(way, white_m));
    expect(solution.basis).toBe('motion');
    expect(solution.pass_count).toBe(3);
    const expected = [
      [5, 84],
      [94, 174],
      [184, 263],
    ];
    spans(solution).forEach((span, k) => {
      expect(Math.abs(span[0] - expected[k][0])).toBeLessThanOrEqual(4);
      expect(Math.abs(span[1] - expected[k][1])).toBeLessThanOrEqual(4);
    });
  });

  it('evidence of grain takes the headland out, and short holes in it do not matter', () => {
    const straight = track(drivenWay([{ duration_s: 200, speed_m_s: 2 }], 1));
    const working = new Uint8Array(199).fill(1, 40, 150);
    working.fill(0, 80, 84);
    const solution = findPasses({ ...straight, working });
    expect(spans(solution)).toEqual([[40, 149]]);
  });

  it('contour passes are passes: curves of 15 m, one piece', () => {
    const curves = drivenWay(
      [0, 1, 2, 3].map(
        (i): Leg => ({ duration_s: 30, speed_m_s: 2, curvature_per_m: i % 2 ? 1 / 15 : -1 / 15 }),
      ),
      1,
    );
    expect(findPasses(track(curves)).pass_count).toBe(1);
  });

  it('a corner with the header down parts two passes and both cut', () => {
    const corner: Leg[] = [PASS, { duration_s: 3.6, speed_m_s: 2, curvature_per_m: 1 / 4.5 }, PASS];
    const solution = findPasses({ ...track(drivenWay(corner, 1)), header: headerOf(corner, () => true) });
    expect(solution.pass_count).toBe(2);
    expect(Math.abs(solution.pass.indexOf(1) - 82)).toBeLessThanOrEqual(2);
    expect(solution.pass.subarray(1).includes(-1)).toBe(false);
  });

  it('a long stand ends a pass, a short one does not', () => {
    const stops = (duration_s: number): Leg[] => [PASS, { duration_s, speed_m_s: 0 }, PASS];
    for (const [duration_s, count] of [
      [8, 1],
      [40, 2],
    ]) {
      const stopped = stops(duration_s);
      const header = headerOf(stopped, () => true);
      const solution = findPasses({ ...track(drivenWay(stopped, 1)), header });
      expect(solution.pass_count).toBe(count);
    }
    const creeping: Leg[] = [PASS, { duration_s: 60, speed_m_s: 0.2 }, PASS];
    expect(
      findPasses({ ...track(drivenWay(creeping, 1)), header: headerOf(creeping, () => true) }).pass_count,
    ).toBe(1);
  });

  it('backing is not cutting even with the header down', () => {
    const backing: Leg[] = [PASS, { duration_s: 12, speed_m_s: -1 }, PASS];
    const backed = drivenWay(backing, 1);
    const solution = findPasses({ ...track(backed), header: headerOf(backing, () => true) });
    expect(solution.pass_count).toBe(2);
    for (let i = 0; i < solution.pass.length; i++) {
      if (backed.speed_m_s[i] < -0.6) expect(solution.pass[i]).toBe(-1);
    }
  });

  it('a silence is bridged when the machine comes out of it as it went in, and not when it turned', () => {
    const without = (source: Track, from_s: number, to_s: number): Track =>
      Object.fromEntries(
        Object.entries(source).map(([name, column]: [string, Float64Array]) => [
          name,
          column.filter((_, k) => source.t_s[k] <= from_s || source.t_s[k] >= to_s),
        ]),
      ) as unknown as Track;
    const whole = track(way);
    const header = headerOf(legs, () => true);
    const straight = findPasses({ ...without(whole, 40, 52), header });
    expect(straight.pass[40]).toBe(straight.pass[39]);
    expect(straight.pass[41]).toBe(straight.pass[39]);
    const turned = findPasses({ ...without(whole, 82, 98), header });
    expect(turned.pass[82]).toBe(-1);
    const long = findPasses({ ...without(whole, 10, 45), header });
    expect(long.pass[10]).toBe(-1);
  });

  it('a switch that never moves is not believed', () => {
    for (const up of [0, 1]) {
      const header = { t_s: Float64Array.of(0, 100), up: Uint8Array.of(up, up) };
      const solution = findPasses({ ...track(way), header });
      expect(solution.basis).toBe('motion');
      expect(solution.pass_count).toBe(3);
    }
  });

  it('a track of no rows or one has no passes; a mask of the wrong length is refused', () => {
    const empty = smoothTrack(
      columnsOf({ t_s: [], east_m: [], north_m: [], speed_m_s: [], course_deg: [], quality: [] }, FRAME),
      FRAME,
    ).track;
    expect(findPasses(empty).pass_count).toBe(0);
    expect(() => findPasses({ ...empty, working: new Uint8Array(3) })).toThrow(/3 rows for 0/);
  });
});
