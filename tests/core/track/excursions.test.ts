import { describe, expect, it } from 'vitest';
import { rejectExcursions } from '../../../core/track/excursions.ts';
import { localFrame } from '../../../core/track/local-frame.ts';
import { smoothTrack } from '../../../core/track/smooth.ts';
import { columnsOf, drivenWay, loggedFixes, type Receiver } from './driven-way.ts';

const FRAME = localFrame(-93.5, 42);
const WAY = drivenWay([{ duration_s: 200, speed_m_s: 2 }], 1);
/** Seconds in which fixes lie aside. */
const FROM = 80;
const TO = 92;

function tracked(receiver: Receiver, aside_m: (k: number) => number) {
  const logged = loggedFixes(WAY, receiver);
  // the way leads north or east: to both sides of it
  for (let k = 0; k < WAY.t_s.length; k++) {
    logged.east_m[k] += aside_m(k) * Math.cos(WAY.heading_rad[k]);
    logged.north_m[k] -= aside_m(k) * Math.sin(WAY.heading_rad[k]);
  }
  return smoothTrack(columnsOf(logged, FRAME), FRAME).track;
}

describe('excursions', () => {
  it('are thrown out as a whole, and the way is bridged by the logged velocities', () => {
    const track = tracked({ seed: 1, white_m: 0.02 }, (k) => (k >= FROM && k < TO ? 5 : 0));
    const replaced = Array.from(track.replaced, (one, k) => (one ? k : -1)).filter((k) => k >= 0);
    expect(replaced).toEqual(Array.from({ length: TO - FROM }, (_, k) => FROM + k));
    for (let k = FROM; k < TO; k++) {
      const off_m = Math.hypot(track.east_m[k] - WAY.east_m[k], track.north_m[k] - WAY.north_m[k]);
      expect(off_m).toBeLessThan(0.3);
    }
  });

  it('are none where the receiver finds its place and stays there', () => {
    const track = tracked({ seed: 1, white_m: 0.02 }, (k) => (k < FROM ? 5 : 0));
    expect(track.replaced.reduce((sum, one) => sum + one, 0)).toBe(0);
  });

  it('are none where the way back leads elsewhere, or where time is missing', () => {
    const column = (of: (k: number) => number) => Float64Array.from({ length: 60 }, (_, k) => of(k));
    const measured = (back_m: number, t_s = column((k) => k)) => ({
      t_s,
      east_m: column((k) => (k >= 25 && k < 35 ? 6 : k < 25 ? 0 : back_m)),
      north_m: t_s.map((t) => 2 * t),
      east_m_s: column(() => 0),
      north_m_s: column(() => 2),
      used: new Uint8Array(60).fill(1),
      position_variance_m2: column(() => 1e-4),
      velocity_variance_m2_s2: column(() => 1e-2),
    });
    expect(rejectExcursions(measured(0), [0, 25, 35, 60], 5)).toEqual([0, 60]);
    expect(rejectExcursions(measured(3), [0, 25, 35, 60], 5)).toEqual([0, 25, 35, 60]);
    const late = column((k) => (k < 35 ? k : k + 10));
    expect(rejectExcursions(measured(0, late), [0, 25, 35, 60], 5)).toEqual([0, 25, 35, 60]);
  });
});
