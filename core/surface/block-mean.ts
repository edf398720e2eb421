/** Plain means of what was measured in each cell. */
import { type CellGrid, cellAt } from './cell-grid.ts';
import type { MeasuredPlaces } from './variogram.ts';

/** One row a cell of the grid. */
export interface BlockMeans {
  readonly mean: Float64Array;
  /** Square of the standard error of the mean, as if the measurements were independent; NaN below two. */
  readonly variance: Float64Array;
  readonly count: Int32Array;
}

/** Means by cell, each measurement weighted (by the ground that it stands for) or all alike; NaN in cells without one. */
export function blockMeans(places: MeasuredPlaces, grid: CellGrid, weights?: Float64Array): BlockMeans {
  const cells = grid.columns * grid.rows;
  const count = new Int32Array(cells);
  const total = new Float64Array(cells);
  const mean = new Float64Array(cells);
  const squares = new Float64Array(cells);
  const squaredWeights = new Float64Array(cells);
  const { east_m, north_m, measured } = places;
  for (let i = 0; i < measured.length; i++) {
    const cell = cellAt(grid, east_m[i], north_m[i]);
    const weight = weights?.[i] ?? 1;
    if (cell < 0 || !(weight > 0) || !Number.isFinite(measured[i])) continue;
    // running mean and squares about it [West1979]
    count[cell]++;
    total[cell] += weight;
    squaredWeights[cell] += weight * weight;
    const off = measured[i] - mean[cell];
    mean[cell] += (off * weight) / total[cell];
    squares[cell] += weight * off * (measured[i] - mean[cell]);
  }
  const variance = squares.map((sum, cell) => {
    const share = squaredWeights[cell] / total[cell] ** 2;
    return count[cell] > 1 && share < 1 ? ((sum / total[cell]) * share) / (1 - share) : Number.NaN;
  });
  return { mean: mean.map((cellMean, cell) => (count[cell] > 0 ? cellMean : Number.NaN)), variance, count };
}
