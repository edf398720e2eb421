/**
 * A real log with distance and swath in every record: corn in Minnesota (University of Minnesota Precision Agriculture
 * Center, in R package agridat as gartner.corn, CC BY-SA 3.0). Expected: the union of the rectangles distance × swath that
 * end at each record along its heading, by R package sf in UTM zone 15: 265,952.9 m² in the plane, whose areas are
 * 0.99935 of the ellipsoid's.
 */
import { describe, expect, it } from 'vitest';
import { cutWidths } from '../../../core/track/cut-width.ts';
import { localFrame } from '../../../core/track/local-frame.ts';
import { swathsFromRecords } from '../../../core/track/record-swaths.ts';
import type { Swaths } from '../../../core/track/track.ts';
import { referenceText } from '../../reference/reference-data.ts';

const UNION_M2 = 265_952.91 / 0.99935;
const INCH_M = 0.0254;

function cornSwaths(csv: string): Swaths {
  const records = csv
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => line.split(',').map(Number));
  const column = (at: number, scale = 1) => Float64Array.from(records, (record) => scale * record[at]);
  const { east_m, north_m } = localFrame(-93.975, 43.927).toPlane(column(0), column(1));
  return swathsFromRecords(
    {
      t_s: column(3),
      interval_s: column(4),
      east_m,
      north_m,
      distance_m: column(5, INCH_M),
      swath_m: column(6, INCH_M),
      heading_rad: column(0).fill(Number.NaN),
      position_se_m: 0.3,
    },
    0,
  );
}

describe('the corn field in Minnesota', () => {
  it('taken at its word, its swaths cover 26.61 ha (±0.05 %)', ({ skip }) => {
    const csv = referenceText('data/gartner_corn_raw.csv');
    if (!csv) return skip('skipped: reference data not present');
    const swaths = cornSwaths(csv);
    const { cut_width_m, fresh_area_m2 } = cutWidths(swaths, { slivers: 'left' });
    const area_m2 = fresh_area_m2.reduce((sum, area) => sum + area, 0);
    expect(Math.abs(area_m2 / UNION_M2 - 1)).toBeLessThan(5e-4);
    expect(swaths.pass.filter((pass) => pass < 0).length).toBe(1);
    for (let i = 0; i < cut_width_m.length; i++) {
      expect(cut_width_m[i]).toBeGreaterThanOrEqual(0);
      expect(cut_width_m[i]).toBeLessThanOrEqual(swaths.header_width_m[i] + 1e-9);
    }
  });

  it('with the gaps between its passes laid to the positions, between that and distance × swath', ({
    skip,
  }) => {
    const csv = referenceText('data/gartner_corn_raw.csv');
    if (!csv) return skip('skipped: reference data not present');
    const swaths = cornSwaths(csv);
    const { fresh_area_m2 } = cutWidths(swaths);
    const area_m2 = fresh_area_m2.reduce((sum, area) => sum + area, 0);
    expect(area_m2).toBeGreaterThan(UNION_M2);
    // 67.450 acres as logged
    expect(area_m2).toBeLessThan(67.45 * 4046.8564224);
  });
});
