/**
 * A real field, as logged: 47,872 records at 1 Hz of a winter wheat harvest in Montana (Montana State University, OFPEDATA
 * ae70c5d, MIT). What the program finds in it is printed; what the file itself says is held.
 */
import { describe, expect, it } from 'vitest';
import { runPipeline } from '../../core/pipeline.ts';
import { SCREENING_RULES } from '../../core/result.ts';
import type { Season } from '../../core/season.ts';
import { kgFromLb, mFromIn } from '../../core/units.ts';
import { lagText, screenedText } from '../reference/field-log-report.ts';
import { referenceText } from '../reference/reference-data.ts';

const text = referenceText('data/msu_sec1west_2014.csv');
const PATH = 'logs/wheat.csv';

const season: Season = {
  format: 'sheaflight-season/1',
  name: 'Montana wheat',
  units: 'us',
  machines: [{ id: 'c1', name: 'combine 1', header: { width_m: mFromIn(480) } }],
  fields: [{ name: 'Section 1 west', crop: 'wheat', standard_moisture_pct: 13.5 }],
  logs: [{ machine: 'c1', files: [PATH], mapping: 'wheat' }],
  mappings: [
    {
      id: 'wheat',
      columns: [
        { quantity: 'longitude', column: 'lon' },
        { quantity: 'latitude', column: 'lat' },
        { quantity: 'mass_flow', column: 'flw_lbs', unit: 'lb/s' },
        { quantity: 'time', column: 'gps_tim_days', unit: 'days_1899_12_30' },
        { quantity: 'distance', column: 'dist_in', unit: 'in' },
        { quantity: 'swath', column: 'swth_in', unit: 'in' },
        { quantity: 'heading', column: 'hdng_deg' },
        { quantity: 'moisture', column: 'moist_pct' },
      ],
    },
  ],
};

function build(csv: string) {
  const sources = {
    logs: new Map(),
    chatter: {},
    texts: new Map([[PATH, csv]]),
    hashes: new Map([[PATH, '0'.repeat(64)]]),
  };
  const result = runPipeline(season, sources, {
    progress: () => {},
    shouldStop: () => false,
    generated_by: 'test',
  });
  if (!result.ok) throw new Error(result.error.text);
  return result.value;
}

describe.skipIf(text === undefined)('a wheat field in Montana', () => {
  const csv = text ?? '';
  const { summary, points } = text === undefined ? { summary: undefined, points: [] } : build(csv);
  const rows = csv
    .split('\n')
    .slice(1)
    .filter(Boolean)
    .map((line) => line.split(',').map(Number));

  it('runs whole, and every kilogram of the log is in the ledger', () => {
    const [ledger] = summary?.mass_ledger ?? [];
    const logged_kg = rows.reduce((sum, [, , , flow_lb_s]) => sum + kgFromLb(flow_lb_s), 0);
    // a record a second, but for a leap of the clock here and there
    expect(Math.abs(ledger.beam_kg / logged_kg - 1)).toBeLessThan(0.01);
    const screened = Object.values(ledger.screened_kg).reduce((sum, kg) => sum + kg, 0);
    const told = ledger.mapped_kg + screened + ledger.outside_field_kg + ledger.not_cutting_kg;
    expect(Math.abs(told / ledger.beam_kg - 1)).toBeLessThan(1e-9);
  });

  it('overlaps: fresh ground is less than distance × swath', () => {
    const logged_m2 = rows.reduce(
      (sum, [, , , , dist_in, swath_in]) => sum + mFromIn(dist_in) * mFromIn(swath_in),
      0,
    );
    const [field] = summary?.fields ?? [];
    const overlap_pct = 100 * (1 - (10_000 * field.area_ha) / logged_m2);
    console.info(
      `Montana wheat: ${field.area_ha.toFixed(2)} ha of ${(logged_m2 / 10_000).toFixed(2)} ha logged, overlap ${overlap_pct.toFixed(1)} %`,
    );
    expect(overlap_pct).toBeGreaterThan(0);
    expect(overlap_pct).toBeLessThan(15);
  });

  it('tells its lag, or that it cannot', () => {
    const [lag] = summary?.lags ?? [];
    console.info(`Montana wheat: ${lagText(lag)}`);
    expect(lag.method).toBe('as_logged');
    expect(lag.applied_s).toBe(0);
  });

  it('is screened by the rules that such a log can answer to', () => {
    const [field] = points;
    console.info(`Montana wheat: ${screenedText(field)}`);
    const kept = field.screened_by.filter((rule) => rule === 0).length;
    expect(kept / field.screened_by.length).toBeGreaterThan(0.5);
    const named = new Set(Array.from(field.screened_by, (rule) => SCREENING_RULES[rule - 1]));
    expect([...named]).toEqual(expect.arrayContaining(['not_cutting', 'slow']));
    // its stored yields lie between 0 and about 120 bu/ac
    expect(summary?.fields[0].mean_yield_bu_ac ?? 0).toBeGreaterThan(30);
    expect(summary?.fields[0].mean_yield_bu_ac ?? 0).toBeLessThan(80);
  });
});
