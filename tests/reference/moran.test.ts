/** Moran's index against spdep 1.2-7 on open data, where they are present, and against worked grids. */
import { beforeAll, describe, expect, it } from 'vitest';
import { globalMoran, localMoran, type NeighbourTable, nearestNeighbours } from '../../core/stats/moran.ts';
import { referenceText } from './reference-data.ts';

const points = referenceText('values/b_points.csv');
const local = referenceText('values/b_localmoran.csv');
const figures = referenceText('values/b_spatial.json');
const neighbours = referenceText('values/b_knn8.csv');

function column(csv: string, name: string): Float64Array {
  const [header, ...lines] = csv.trim().split('\n');
  const at = header.split(',').indexOf(name);
  return Float64Array.from(lines, (line) => Number(line.split(',')[at]));
}

describe.runIf(points !== undefined && local !== undefined)(
  'a window of a corn field, spdep, eight neighbours',
  () => {
    const east_m = column(points ?? '', 'e');
    const north_m = column(points ?? '', 'n');
    const yields = column(points ?? '', 'yield');
    let found: NeighbourTable;
    beforeAll(() => {
      found = nearestNeighbours(east_m, north_m, 8);
    });

    it('has the same neighbours', () => {
      const wanted = (neighbours ?? '').trim().split('\n').slice(1);
      wanted.forEach((line, i) => {
        const rows = line
          .split(',')
          .slice(1)
          .map((row) => Number(row) - 1);
        expect([...found.rows.subarray(8 * i, 8 * i + 8)].sort((a, b) => a - b)).toEqual(rows);
      });
    });

    it('has the same local index, z and p of every place', () => {
      const made = localMoran(yields, found);
      for (const [name, ours] of [
        ['Ii', made.index],
        ['Z_cond', made.z],
        ['p_cond', made.p],
        ['lag', made.lag],
      ] as const) {
        column(local ?? '', name).forEach((wanted, i) => {
          expect(Math.abs(ours[i] - wanted)).toBeLessThanOrEqual(1e-9 * Math.max(1, Math.abs(wanted)));
        });
      }
      expect(made.p.filter((p) => p < 0.05)).toHaveLength(104);
      expect(made.index.filter((index, i) => index < 0 && made.p[i] < 0.05)).toHaveLength(10);
    });

    it('has the same index over all', () => {
      const made = globalMoran(yields, found);
      const { global } = JSON.parse(figures ?? '{}');
      expect(Math.abs(made.index - global.I)).toBeLessThan(1e-9);
      expect(Math.abs(made.expected - global.EI)).toBeLessThan(1e-9);
      expect(Math.abs(made.variance - global.Var_rand)).toBeLessThan(1e-9);
      expect(Math.abs(made.z - global.Z_rand)).toBeLessThan(1e-9);
    });
  },
);
