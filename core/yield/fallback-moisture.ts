/**
 * Moisture of grain for which the sensor says nothing: the mean of what it said elsewhere in the field, else the tickets',
 * else what the field sheet says, else the standard moisture, and then every weight is as harvested and a notice says so.
 */
import type { SeasonCalibration } from '../calibrate/season-fit.ts';
import type { Notice } from '../errors.ts';
import type { FieldLags } from '../lag/field-lags.ts';
import type { FieldSheet } from '../season.ts';
import type { MoistureRecord } from '../signal/machine-record.ts';
import { moisturesAt } from '../signal/moisture.ts';
import { mean } from '../stats/moments.ts';
import type { FieldGround } from '../track/field-ground.ts';

/** Moments at which a field's record is asked for its mean. */
const SAMPLES = 400;

export function fallbackMoisture(
  sheet: FieldSheet,
  standard_moisture_pct: number,
  moistures: readonly MoistureRecord[],
  ground: FieldGround,
  lags: FieldLags,
  calibration: SeasonCalibration,
): { readonly moisture_pct: number; readonly notices: readonly Notice[] } {
  const seen = ground.plots.flatMap(({ record, rows }, p) => {
    const step = Math.max(1, Math.floor(rows.t0_s.length / SAMPLES));
    const moments_s: number[] = [];
    for (let row = 0; row < rows.t0_s.length; row += step) {
      if (rows.pass[row] >= 0) moments_s.push(rows.t0_s[row] + lags.plots[p].lag.moisture_s);
    }
    const readings = moisturesAt(moistures[record], Float64Array.from(moments_s));
    return [...readings].filter((reading) => !Number.isNaN(reading));
  });
  if (seen.length > 0) return { moisture_pct: mean(seen), notices: [] };
  const ofTickets = calibration.ticketMoistureOf(ground.field);
  if (!Number.isNaN(ofTickets)) {
    return told(sheet, ofTickets, 'info', `the mean of its tickets, ${ofTickets.toFixed(1)} %, was used`);
  }
  if (sheet.moisture_pct !== undefined) return { moisture_pct: sheet.moisture_pct, notices: [] };
  return told(
    sheet,
    standard_moisture_pct,
    'look',
    `neither do tickets, so yields are as harvested. Enter "moisture_pct" for the field or moisture on the tickets`,
  );
}

function told(sheet: FieldSheet, moisture_pct: number, severity: Notice['severity'], what: string) {
  const text = `${sheet.name}: no moisture sensor speaks for this field; ${what}.`;
  const notice: Notice = { code: 'moisture_not_logged', severity, source: sheet.name, count: 1, text };
  return { moisture_pct, notices: [notice] };
}
