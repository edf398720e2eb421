import { describe, expect, it } from 'vitest';
import { moisturesAt, smoothMoisture } from '../../../core/signal/moisture.ts';

const moistureAt = (smoothed: Parameters<typeof moisturesAt>[0], at_s: number) =>
  moisturesAt(smoothed, Float64Array.of(at_s))[0];

const record = (rows: readonly [t_s: number, pct: number][]) => ({
  t_s: Float64Array.from(rows, ([t_s]) => t_s),
  moisture_pct: Float64Array.from(rows, ([, pct]) => pct),
});

describe('moisture readings', () => {
  it('are averaged over ten seconds to either side', () => {
    const { t_s, moisture_pct } = smoothMoisture(
      record([
        [0, 10],
        [10, 20],
        [20, 30],
        [31, 14],
      ]),
    );
    expect([...t_s]).toEqual([0, 10, 20, 31]);
    expect([...moisture_pct]).toEqual([15, 20, 25, 14]);
  });

  it('keep the edges of a fault sharp', () => {
    const faulty = record(
      Array.from({ length: 60 }, (_, k) => [2 * k, k >= 20 && k < 40 ? 27 : 17 + 0.1 * (k % 2)]),
    );
    const { moisture_pct } = smoothMoisture(faulty);
    moisture_pct.forEach((pct, k) => {
      const fault = k >= 20 && k < 40;
      expect(Math.abs(pct - (fault ? 27 : 17.05))).toBeLessThan(0.06);
    });
  });

  it('are left out where no grain is like that, or time does not go on', () => {
    const { t_s, moisture_pct } = smoothMoisture(
      record([
        [0, 2.9],
        [1, 3],
        [2, Number.NaN],
        [3, 45.1],
        [40, 45],
        [40, 20],
        [30, 20],
      ]),
    );
    expect([...t_s]).toEqual([1, 40]);
    expect([...moisture_pct]).toEqual([3, 45]);
  });

  it('of none are none', () => {
    expect(smoothMoisture(record([])).t_s).toHaveLength(0);
  });
});

describe('moisture of grain', () => {
  const smoothed = record([
    [100, 16],
    [200, 18],
  ]);

  it('lies between the readings', () => {
    expect(moistureAt(smoothed, 150)).toBeCloseTo(17, 12);
    expect(moistureAt(smoothed, 100)).toBe(16);
  });

  it('is the nearest reading within a minute outside them, then unknown', () => {
    expect(moistureAt(smoothed, 40)).toBe(16);
    expect(moistureAt(smoothed, 39)).toBeNaN();
    expect(moistureAt(smoothed, 260)).toBe(18);
    expect(moistureAt(smoothed, 261)).toBeNaN();
  });

  it('is unknown in the middle of a long silence, and without readings', () => {
    expect(
      moistureAt(
        record([
          [0, 16],
          [1000, 18],
        ]),
        500,
      ),
    ).toBeNaN();
    expect(moistureAt(record([]), 0)).toBeNaN();
  });
});
