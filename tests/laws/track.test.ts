/** What must hold of tracks, passes and cut widths for any input, however spoilt. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cutWidths } from '../../core/track/cut-width.ts';
import { localFrame } from '../../core/track/local-frame.ts';
import { findPasses } from '../../core/track/passes.ts';
import { smoothTrack } from '../../core/track/smooth.ts';
import type { Swaths, TimedFixes } from '../../core/track/track.ts';

const FRAME = localFrame(-93.5, 42);

const maybe = (arbitrary: fc.Arbitrary<number>) =>
  fc.oneof({ weight: 9, arbitrary }, { weight: 1, arbitrary: fc.constant(Number.NaN) });
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

const fix = fc.record({
  step_s: fc.oneof({ weight: 8, arbitrary: fc.constant(1) }, { weight: 2, arbitrary: between(-20, 40) }),
  longitude_deg: maybe(
    fc.oneof(
      { weight: 9, arbitrary: between(-93.501, -93.499) },
      { weight: 1, arbitrary: between(-200, 200) },
    ),
  ),
  latitude_deg: maybe(between(41.999, 42.001)),
  speed_m_s: maybe(between(0, 12)),
  course_deg: maybe(between(0, 360)),
  quality: maybe(fc.constantFrom(0, 1, 2, 4, 5, 9)),
  hdop: maybe(between(0, 99)),
});

function fixesOf(rows: readonly { [name: string]: number }[]): TimedFixes {
  let t = 0;
  const column = (name: string) => Float64Array.from(rows, (row) => row[name]);
  return {
    t_s: Float64Array.from(rows, ({ step_s }) => {
      t += step_s;
      return t;
    }),
    longitude_deg: column('longitude_deg'),
    latitude_deg: column('latitude_deg'),
    altitude_m: column('hdop'),
    speed_m_s: column('speed_m_s'),
    course_deg: column('course_deg'),
    quality: column('quality'),
    satellites: column('hdop'),
    hdop: column('hdop'),
  };
}

describe('whatever the fixes', () => {
  it('the track ascends in time, every place, speed and heading is a number, and passes are in order', () => {
    fc.assert(
      fc.property(fc.array(fix, { maxLength: 120 }), (rows) => {
        const { track } = smoothTrack(fixesOf(rows), FRAME);
        for (let k = 0; k < track.t_s.length; k++) {
          if (k > 0) expect(track.t_s[k]).toBeGreaterThan(track.t_s[k - 1]);
          expect(Number.isFinite(track.east_m[k] + track.north_m[k] + track.speed_m_s[k])).toBe(true);
          expect(track.position_se_m[k]).toBeGreaterThan(0);
          expect(track.heading_rad[k]).toBeGreaterThanOrEqual(0);
          expect(track.heading_rad[k]).toBeLessThanOrEqual(2 * Math.PI);
        }
        const { pass, pass_count, cut_from, cut_to } = findPasses(track);
        let highest = -1;
        for (let i = 0; i < pass.length; i++) {
          expect(pass[i]).toBeLessThanOrEqual(highest + 1);
          highest = Math.max(highest, pass[i]);
          expect(cut_to[i]).toBeGreaterThanOrEqual(cut_from[i]);
        }
        expect(pass_count).toBe(highest + 1);
      }),
      { seed: 7, numRuns: 300, endOnFailure: true },
    );
  });
});

const row = fc.record({
  east: between(-30, 30),
  north: between(-30, 30),
  heading: between(-7, 7),
  ahead: between(0, 6),
  turn: between(-0.3, 0.3),
  width: between(1, 12),
  machine: fc.constantFrom(0, 1),
  pass: fc.constantFrom(-1, 0, 1, 2),
  se: maybe(between(0, 0.5)),
});

function swathsOf(rows: readonly { [name: string]: number }[]): Swaths {
  const column = (of: (row: { [name: string]: number }, i: number) => number) => Float64Array.from(rows, of);
  return {
    t0_s: column((_, i) => i),
    t1_s: column((_, i) => i + 1),
    machine: Int32Array.from(rows, ({ machine }) => machine),
    pass: Int32Array.from(rows, ({ pass }) => pass),
    east0_m: column(({ east }) => east),
    north0_m: column(({ north }) => north),
    heading0_rad: column(({ heading }) => heading),
    east1_m: column(({ east, ahead, heading, turn }) => east + ahead * Math.sin(heading + turn / 2)),
    north1_m: column(({ north, ahead, heading, turn }) => north + ahead * Math.cos(heading + turn / 2)),
    heading1_rad: column(({ heading, turn }) => heading + turn),
    header_width_m: column(({ width }) => width),
    position_se_m: column(({ se }) => se),
  };
}

describe('whatever the swaths', () => {
  it('no row cuts less than nothing or more than its header', () => {
    fc.assert(
      fc.property(fc.array(row, { maxLength: 40 }), (rows) => {
        const swaths = swathsOf(rows);
        const { cut_width_m, fresh_area_m2 } = cutWidths(swaths, { slivers: 'left' });
        for (let i = 0; i < rows.length; i++) {
          expect(cut_width_m[i]).toBeGreaterThanOrEqual(0);
          expect(cut_width_m[i]).toBeLessThanOrEqual(rows[i].pass < 0 ? 0 : rows[i].width + 1e-9);
          expect(fresh_area_m2[i]).toBeGreaterThanOrEqual(0);
          // the arc is at most 0.4 % longer than its chord at these turns
          expect(fresh_area_m2[i]).toBeLessThanOrEqual(rows[i].width * rows[i].ahead * 1.005 + 1e-9);
        }
      }),
      { seed: 7, numRuns: 300, endOnFailure: true },
    );
  });

  it('the same ground driven again by the other machine is worth next to nothing', () => {
    fc.assert(
      fc.property(fc.array(row, { minLength: 1, maxLength: 20 }), (rows) => {
        const first = rows.map((one) => ({ ...one, machine: 0, pass: 0, turn: 0 }));
        const again = first.map((one) => ({ ...one, machine: 1 }));
        const { fresh_area_m2 } = cutWidths(swathsOf([...first, ...again]), { slivers: 'left' });
        for (const area of fresh_area_m2.slice(rows.length)) expect(area).toBeLessThan(1e-3);
      }),
      { seed: 7, numRuns: 200, endOnFailure: true },
    );
  });
});
