/** A few of the seasons of `npm run truth`: intervals hold the truth, one wrong ticket is found and no other accused. */
import { describe, expect, it } from 'vitest';
import { contourNoHeader, plain, simulate } from './index.ts';
import { findIntervals, intervalTotals } from './interval-truth.ts';
import { cellErrors, pointErrors } from './point-truth.ts';
import { runSeason } from './recovery.ts';
import { findWrongTickets, wrongTicketTotals } from './wrong-tickets.ts';

describe('calibration of simulated seasons', () => {
  it('gives intervals that hold the truth', () => {
    const found = intervalTotals(Array.from({ length: 8 }, (_, i) => findIntervals(i + 1)));
    expect(found.standard_pct).toBeGreaterThanOrEqual(75);
    expect(found.wet_pct).toBeGreaterThanOrEqual(75);
    // neither so wide that they say nothing
    expect(found.rms_standardised_error).toBeGreaterThan(0.4);
    expect(found.rms_standardised_error).toBeLessThan(1.6);
  });

  it.each([plain, contourNoHeader])(
    'gives points and cells errors of the size that they have ($name)',
    (make) => {
      const season = simulate(make(1));
      const result = runSeason(season);
      for (const found of [
        pointErrors(season, result),
        cellErrors(season, result),
        cellErrors(season, result, { cell_m: 20 }),
      ]) {
        expect(found.count).toBeGreaterThan(200);
        expect(found.stated_pct / found.true_pct).toBeGreaterThan(0.7);
        expect(found.stated_pct / found.true_pct).toBeLessThan(1.3);
      }
    },
  );

  it('finds the wrong ticket', () => {
    const found = wrongTicketTotals(findWrongTickets(1, 8));
    expect(found.caught_pct).toBeGreaterThanOrEqual(85);
    expect(found.accused_pct).toBe(0);
    expect(found.median_mass_error_pct).toBeLessThan(0.5);
  });
});
