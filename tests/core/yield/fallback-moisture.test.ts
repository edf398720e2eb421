import { describe, expect, it } from 'vitest';
import type { SeasonCalibration } from '../../../core/calibrate/season-fit.ts';
import type { FieldLags } from '../../../core/lag/field-lags.ts';
import type { FieldSheet } from '../../../core/season.ts';
import type { FieldGround } from '../../../core/track/field-ground.ts';
import { fallbackMoisture } from '../../../core/yield/fallback-moisture.ts';

/** Two rows of cutting at 0 and 100 s, a turn at 50 s; moisture comes 15 s later. */
const ground = {
  field: 0,
  plots: [{ record: 0, rows: { t0_s: Float64Array.of(0, 50, 100), pass: Int32Array.of(0, -1, 1) } }],
} as unknown as FieldGround;
const lags = { plots: [{ lag: { moisture_s: 15 } }] } as unknown as FieldLags;
const tickets = (moisture_pct: number) =>
  ({ ticketMoistureOf: () => moisture_pct }) as unknown as SeasonCalibration;
const readings = (t_s: number[], moisture_pct: number[]) => ({
  t_s: Float64Array.from(t_s),
  moisture_pct: Float64Array.from(moisture_pct),
});
const sheet = (moisture_pct?: number): FieldSheet => ({
  name: 'Home',
  crop: 'corn',
  ...(moisture_pct && { moisture_pct }),
});

describe('moisture where the sensor is silent', () => {
  it('is the mean of what it said of grain cut elsewhere in the field', () => {
    const found = fallbackMoisture(
      sheet(30),
      15.5,
      [readings([15, 65, 115], [16, 40, 20])],
      ground,
      lags,
      tickets(25),
    );
    expect(found).toEqual({ moisture_pct: 18, notices: [] });
  });

  it('is that of the tickets, the sheet or the standard, in this order', () => {
    const none = [readings([], [])];
    const byTickets = fallbackMoisture(sheet(30), 15.5, none, ground, lags, tickets(25));
    expect(byTickets.moisture_pct).toBe(25);
    expect(byTickets.notices[0]).toMatchObject({ severity: 'info', text: expect.stringContaining('25.0 %') });
    const bySheet = fallbackMoisture(sheet(30), 15.5, none, ground, lags, tickets(Number.NaN));
    expect(bySheet).toEqual({ moisture_pct: 30, notices: [] });
    const standard = fallbackMoisture(sheet(), 15.5, none, ground, lags, tickets(Number.NaN));
    expect(standard.moisture_pct).toBe(15.5);
    expect(standard.notices[0]).toMatchObject({ code: 'moisture_not_logged', severity: 'look' });
  });
});
