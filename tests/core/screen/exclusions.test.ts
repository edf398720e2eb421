import { describe, expect, it } from 'vitest';
import { excludedByHand } from '../../../core/screen/exclusions.ts';
import type { Exclusion } from '../../../core/season.ts';

/** Machine 0 drives east through the points 0 … 4 at 10:00:00 … 10:00:04, machine 1 at the same places an hour later. */
const points = {
  field: 'Home',
  machine: Int32Array.of(0, 0, 0, 0, 0, 1, 1, 1, 1, 1),
  t_s: Float64Array.of(0, 1, 2, 3, 4, 3600, 3601, 3602, 3603, 3604),
  longitude_deg: Float64Array.of(10, 10.001, 10.002, 10.003, 10.004, 10, 10.001, 10.002, 10.003, 10.004),
  latitude_deg: new Float64Array(10).fill(50),
};
const frame = { machines: ['c1', 'c2'], epoch_utc_s: Date.UTC(2026, 8, 1, 10) / 1000 };
const around: Exclusion['around'] = [
  [10.0005, 49.9],
  [10.0025, 49.9],
  [10.0025, 50.1],
  [10.0005, 50.1],
];

function excluded(...exclusions: Exclusion[]): number[] {
  const mask = excludedByHand(points, exclusions, frame);
  return Array.from(mask, (isOut, row) => (isOut === 1 ? row : -1)).filter((row) => row >= 0);
}

describe('exclusions by hand', () => {
  it('leave out ground, whoever cut it', () => {
    expect(excluded({ around })).toEqual([1, 2, 6, 7]);
    expect(excluded({ around, machine: 'c2' })).toEqual([6, 7]);
    expect(excluded({ around, field: 'Home' })).toEqual([1, 2, 6, 7]);
    expect(excluded({ around, field: 'North' })).toEqual([]);
  });

  it('leave out a span of time, its ends with it', () => {
    expect(excluded({ from: '2026-09-01T10:00:01Z', to: '2026-09-01T10:00:03Z' })).toEqual([1, 2, 3]);
    expect(excluded({ from: '2026-09-01T11:00:03Z' })).toEqual([8, 9]);
    expect(excluded({ to: '2026-09-01T10:00:00Z' })).toEqual([0]);
  });

  it('mean all that they say, and add up', () => {
    expect(excluded({ around, from: '2026-09-01T10:30:00Z' })).toEqual([6, 7]);
    expect(excluded({ around, machine: 'c1' }, { to: '2026-09-01T10:00:00Z' })).toEqual([0, 1, 2]);
    expect(excluded()).toEqual([]);
  });

  it('work across the meridian of 180°', () => {
    const east = {
      ...points,
      longitude_deg: points.longitude_deg.map((x) => (x > 10.0015 ? x - 190 : x + 169.999)),
    };
    const ring = [
      [179.9995, 49.9],
      [-179.9975, 49.9],
      [-179.9975, 50.1],
      [179.9995, 50.1],
    ] as const;
    // 180.000 (1), −179.998 (2), and the same of the other machine
    expect([...excludedByHand(east, [{ around: ring }], frame)]).toEqual([0, 1, 1, 0, 0, 0, 1, 1, 0, 0]);
  });
});
