/** Lag, mixing and moisture lag of light seasons. `npm run truth` prints more of them. */
import { describe, expect, it } from 'vitest';
import { findLag, lagTotals } from './lag-truth.ts';

describe('lags of light seasons', () => {
  const totals = lagTotals(Array.from({ length: 8 }, (_, i) => findLag(101 + i)));

  it('are found to a fraction of a second', () => {
    expect(totals.transport_median_s).toBeLessThan(0.1);
    expect(totals.transport_95_s).toBeLessThan(0.25);
    expect(totals.mixing_median_s).toBeLessThan(0.1);
  });

  it('have standard errors as large as their errors', () => {
    expect(Math.abs(totals.z_mean)).toBeLessThan(1);
    expect(totals.z_sd).toBeGreaterThan(0.4);
    expect(totals.z_sd).toBeLessThan(1.8);
  });

  it('of the moisture are found by themselves', () => {
    expect(totals.moisture_told).toBeGreaterThanOrEqual(7);
    expect(totals.moisture_median_s).toBeLessThan(1.5);
    expect(totals.moisture_95_s).toBeLessThan(4);
  });
});
