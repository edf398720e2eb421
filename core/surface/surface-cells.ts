/** The cells of a planned surface, any stretch of them by itself: a host may share them out among threads. */
import { blockMeans } from './block-mean.ts';
import { cellEast_m, cellNorth_m } from './cell-grid.ts';
import { type CrossValidation, crossValidateKriging, crossValidation } from './cross-validation.ts';
import { InverseDistance } from './inverse-distance.ts';
import { OrdinaryKriging } from './kriging.ts';
import type { SurfacePlan } from './surface-plan.ts';

/** One row a cell asked for. */
export interface SurfaceCells {
  /** Yield at standard moisture; NaN where no point is near enough. */
  readonly yield_kg_m2: Float64Array;
  /** Standard error: of kriging or of a plain mean, with what neighbouring points' errors share; NaN where there is none. */
  readonly yield_se_kg_m2: Float64Array;
}

/** Measurements at most that cross-validation foretells: the figures' own error is then below 2 %. */
const MOST_FORETOLD = 2500;

/** Cells are told of in stretches of so many. */
const TOLD_CELLS = 512;

/**
 * Cells `from` to below `to` of `plan.cells`; all when they are absent. `onCells` is told now and then how many are done. Throws
 * RangeError for a stretch that is none.
 */
export function surfaceCells(
  plan: SurfacePlan,
  from = 0,
  to = plan.cells.length,
  onCells?: (done: number) => void,
): SurfaceCells {
  if (!(from >= 0 && from <= to && to <= plan.cells.length))
    throw new RangeError(`the surface has ${plan.cells.length} cells, not ${from} to ${to}`);
  const yield_kg_m2 = new Float64Array(to - from);
  const yield_se_kg_m2 = new Float64Array(to - from).fill(Number.NaN);
  const estimate = estimator(plan);
  for (let k = from; k < to; k++) {
    const { amount, variance } = estimate(plan.cells[k]);
    yield_kg_m2[k - from] = amount;
    yield_se_kg_m2[k - from] = Math.sqrt(variance + plan.shared_variance);
    if ((k - from) % TOLD_CELLS === TOLD_CELLS - 1) onCells?.(k - from + 1);
  }
  return { yield_kg_m2, yield_se_kg_m2 };
}

/** A surface's own test: whole passes are left out, for points of one pass are near-copies of each other. */
export function crossValidateSurface(plan: SurfacePlan): CrossValidation | undefined {
  const { places, passes, search, power } = plan;
  if (plan.method === 'block_mean') return undefined;
  if (plan.model !== undefined)
    return crossValidateKriging(places, plan.model, { search, groups: passes, most: MOST_FORETOLD });
  const method = new InverseDistance(places, { power, search, groups: passes });
  const rows = Int32Array.from(passes.keys());
  return crossValidation(places, rows, MOST_FORETOLD, (k) => ({
    foretold: method.at(places.east_m[k], places.north_m[k], passes[k]),
    variance: Number.NaN,
  }));
}

interface CellEstimate {
  amount: number;
  variance: number;
}

function estimator(plan: SurfacePlan): (cell: number) => CellEstimate {
  const { grid, places, search, model, power, block_m } = plan;
  const answer: CellEstimate = { amount: Number.NaN, variance: Number.NaN };
  if (plan.method === 'block_mean') {
    const { mean, variance } = blockMeans(places, grid, plan.weights);
    return (cell) => {
      answer.amount = mean[cell];
      answer.variance = variance[cell];
      return answer;
    };
  }
  if (model === undefined) {
    const method = new InverseDistance(places, { power, search });
    return (cell) => {
      answer.amount = method.at(cellEast_m(grid, cell), cellNorth_m(grid, cell));
      return answer;
    };
  }
  const kriging = new OrdinaryKriging(places, model, { search, block_m });
  return (cell) => {
    kriging.at(cellEast_m(grid, cell), cellNorth_m(grid, cell));
    answer.amount = kriging.estimate;
    answer.variance = kriging.variance;
    return answer;
  };
}
