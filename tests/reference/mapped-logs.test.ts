/**
 * Two real flow logs read through column mappings, against sums over the same files (open data, read where present):
 * - corn, Minnesota (Univ. of Minnesota Precision Agriculture Center via R package agridat, CC BY-SA 3.0): reference
 *   totals with its true swaths: 67.450 ac, 513,551 lb wet; two backward time steps; five rows of zero flow;
 * - winter wheat (Montana State University, OFPEDATA ae70c5d, MIT): times as spreadsheet serial days.
 */
import { describe, expect, it } from 'vitest';
import { readMappedLog } from '../../core/read/column-mapping.ts';
import type { FlowLogReading } from '../../core/read/logger-run.ts';
import type { ColumnMappingSheet } from '../../core/season.ts';
import { acresFromM2, lbFromKg, mFromIn } from '../../core/units.ts';
import { referenceText } from './reference-data.ts';

function read(text: string, mapping: ColumnMappingSheet): FlowLogReading {
  const result = readMappedLog(text, 'log.csv', mapping);
  if (!result.ok) throw new Error(result.error.text);
  return result.value;
}

describe('corn, Minnesota', () => {
  it('adds up to the reference area and mass, and keeps its backward time steps', ({ skip }) => {
    const text = referenceText('data/gartner_corn_raw.csv');
    if (!text) return skip('skipped: reference data not present');
    const { rows, damage, lines } = read(text, {
      id: 'corn',
      columns: [
        { quantity: 'longitude', column: 'Longitude' },
        { quantity: 'latitude', column: 'Latitude' },
        { quantity: 'mass_flow', column: 'Flow', unit: 'lb/s' },
        { quantity: 'time', column: 'Time', unit: 'unix_s' },
        { quantity: 'interval', column: 'Cycles', unit: 's' },
        { quantity: 'distance', column: 'Distance', unit: 'in' },
        { quantity: 'swath', column: 'Swath', unit: 'in' },
        { quantity: 'moisture', column: 'Moisture', unit: 'pct' },
        { quantity: 'altitude', column: 'Altitude', unit: 'ft' },
        { quantity: 'field', column: 'Field' },
      ],
    });
    expect(lines).toBe(4950);
    expect(rows.utc_s).toHaveLength(4949);
    expect(damage).toEqual([{ kind: 'out_of_order', count: 2, first_line: expect.any(Number) }]);
    let wet_kg = 0;
    let zero = 0;
    let area_m2 = 0;
    rows.mass_flow_kg_s.forEach((flow, i) => {
      wet_kg += flow * rows.interval_s[i];
      if (flow === 0) zero++;
      area_m2 += rows.distance_m[i] * rows.swath_m[i];
    });
    expect(lbFromKg(wet_kg)).toBeCloseTo(513_551, -1);
    expect(zero).toBe(5);
    expect(acresFromM2(area_m2)).toBeCloseTo(67.45, 2);
    expect(Math.max(...rows.swath_m)).toBeCloseTo(mFromIn(360), 12);
    expect(new Set(rows.field)).toEqual(new Set(['F16_GARTNER']));
  });
});

describe('winter wheat, Montana', () => {
  it('reads serial days as times a second apart', ({ skip }) => {
    const text = referenceText('data/msu_sec1west_2014.csv');
    if (!text) return skip('skipped: reference data not present');
    const { rows, lines } = read(text, {
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
    });
    expect(rows.utc_s).toHaveLength(47_872);
    expect(lines).toBe(47_873);
    // 41880.47525 days after 1899-12-30 lie in August 2014
    expect(new Date(rows.utc_s[0] * 1000).toISOString().slice(0, 10)).toBe('2014-08-29');
    const covered_s = rows.interval_s.reduce((sum, interval) => sum + interval, 0);
    expect(covered_s / rows.utc_s.length).toBeCloseTo(1, 1);
    expect(rows.mass_flow_kg_s.every((flow) => flow >= 0)).toBe(true);
  });
});
