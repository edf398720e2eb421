/**
 * A model fitted to an empirical variogram by weighted least squares [Cressie1985]. At a given range the two sills are linear,
 * so that their best values are found at once; what is left is a search over the range alone [GolubPereyra1973]. It begins
 * with a net over all ranges, needs no starting values and cannot end in a poor optimum.
 */
import type { EmpiricalVariogram } from './variogram.ts';
import {
  type Anisotropy,
  correlationOf,
  type MaternSmoothness,
  semivarianceOf,
  VARIOGRAM_SHAPES,
  type VariogramModel,
  type VariogramShape,
} from './variogram-model.ts';

/** `pairs_by_square`: number of pairs over squared distance, common practice; `pairs`: number of pairs; `equal`. */
export type VariogramWeights = 'pairs_by_square' | 'pairs' | 'equal';

export interface VariogramFitOptions {
  /** `pairs_by_square` when absent. */
  readonly weights?: VariogramWeights;
  /** Handed on to the model. */
  readonly anisotropy?: Anisotropy;
}

export interface VariogramSolution {
  readonly model: VariogramModel;
  /** Sum of weighted squares that is left. */
  readonly weighted_squares: number;
  /** Share of the weighted squares about the weighted mean that the model takes away. */
  readonly explained: number;
}

/** Ranges looked at, from the shortest class's distance to thrice the longest's. */
const NET_RANGES = 120;
const LEAST_OF_SHORTEST = 0.2;
const MOST_OF_LONGEST = 3;
const SMOOTHNESSES: readonly MaternSmoothness[] = [1.5, 2.5];
const GOLDEN = (Math.sqrt(5) - 1) / 2;
const GOLDEN_STEPS = 60;

/** The best model of one shape. `undefined` with fewer than three distance classes, or where nothing differs. */
export function estimateVariogram(
  empirical: EmpiricalVariogram,
  shape: VariogramShape,
  options: VariogramFitOptions = {},
): VariogramSolution | undefined {
  const n = empirical.pairs.length;
  if (n < 3 || !empirical.semivariance.some((semivariance) => semivariance > 0)) return undefined;
  const weights = weightsOf(empirical, options.weights ?? 'pairs_by_square');
  const kinds = shape === 'matern' ? SMOOTHNESSES : [undefined];
  const found = kinds.map((smoothness) => bestRange(empirical, weights, { shape, smoothness }));
  const best = found.reduce((a, b) => (b.squares < a.squares ? b : a));
  const { nugget, partial_sill, range_m, smoothness, squares } = best;
  const model: VariogramModel = {
    shape,
    nugget,
    partial_sill,
    range_m,
    ...(smoothness === undefined ? {} : { smoothness }),
    ...(options.anisotropy === undefined ? {} : { anisotropy: options.anisotropy }),
  };
  const flat = squaresAboutMean(empirical, weights);
  return { model, weighted_squares: squares, explained: flat > 0 ? 1 - squares / flat : 0 };
}

/** The best model of every shape, the one with the least weighted squares first; none as in `estimateVariogram`. */
export function variogramCandidates(
  empirical: EmpiricalVariogram,
  options: VariogramFitOptions = {},
): VariogramSolution[] {
  return VARIOGRAM_SHAPES.flatMap((shape) => estimateVariogram(empirical, shape, options) ?? []).sort(
    (a, b) => a.weighted_squares - b.weighted_squares,
  );
}

/** Sum of weighted squares that any model, fitted or entered by hand, leaves; its direction is not looked at. */
export function weightedSquares(
  empirical: EmpiricalVariogram,
  model: VariogramModel,
  weights: VariogramWeights = 'pairs_by_square',
): number {
  const { distance_m, semivariance } = empirical;
  const weight = weightsOf(empirical, weights);
  const semivarianceAt = semivarianceOf(model);
  let squares = 0;
  for (let k = 0; k < weight.length; k++)
    squares += weight[k] * (semivariance[k] - semivarianceAt(distance_m[k])) ** 2;
  return squares;
}

interface RangeFit {
  readonly range_m: number;
  readonly smoothness: MaternSmoothness | undefined;
  readonly nugget: number;
  readonly partial_sill: number;
  readonly squares: number;
}

interface Kind {
  readonly shape: VariogramShape;
  readonly smoothness: MaternSmoothness | undefined;
}

function bestRange(empirical: EmpiricalVariogram, weights: Float64Array, kind: Kind): RangeFit {
  const { distance_m } = empirical;
  const low = Math.log(LEAST_OF_SHORTEST * positiveLeast(distance_m));
  const high = Math.log(MOST_OF_LONGEST * distance_m[distance_m.length - 1]);
  const at = (log: number) => sillsAt(empirical, weights, kind, Math.exp(log));
  const step = (high - low) / NET_RANGES;
  let best = at(low);
  for (let k = 1; k <= NET_RANGES; k++) {
    const tried = at(low + k * step);
    if (tried.squares < best.squares) best = tried;
  }
  const centre = Math.log(best.range_m);
  const refined = goldenSection(at, Math.max(low, centre - step), Math.min(high, centre + step));
  return refined.squares < best.squares ? refined : best;
}

function goldenSection(at: (log: number) => RangeFit, from: number, to: number): RangeFit {
  let [low, high] = [from, to];
  let left = at(high - GOLDEN * (high - low));
  let right = at(low + GOLDEN * (high - low));
  for (let k = 0; k < GOLDEN_STEPS; k++) {
    if (left.squares <= right.squares) {
      high = Math.log(right.range_m);
      right = left;
      left = at(high - GOLDEN * (high - low));
    } else {
      low = Math.log(left.range_m);
      left = right;
      right = at(low + GOLDEN * (high - low));
    }
  }
  return left.squares <= right.squares ? left : right;
}

/** Best sills at one range, neither below zero. */
function sillsAt(
  empirical: EmpiricalVariogram,
  weights: Float64Array,
  kind: Kind,
  range_m: number,
): RangeFit {
  const { distance_m, semivariance } = empirical;
  const correlation = correlationOf({ ...kind, range_m });
  let [w, ws, wss, wg, wsg] = [0, 0, 0, 0, 0];
  const rise = distance_m.map((h_m) => 1 - correlation(h_m));
  for (let k = 0; k < rise.length; k++) {
    w += weights[k];
    ws += weights[k] * rise[k];
    wss += weights[k] * rise[k] ** 2;
    wg += weights[k] * semivariance[k];
    wsg += weights[k] * rise[k] * semivariance[k];
  }
  const determinant = w * wss - ws * ws;
  const partial_sill = determinant > 1e-12 * w * wss ? (w * wsg - ws * wg) / determinant : 0;
  const nugget = (wg - partial_sill * ws) / w;
  const onEdges = [
    { nugget: 0, partial_sill: wss > 0 ? wsg / wss : 0 },
    { nugget: wg / w, partial_sill: 0 },
  ];
  const allowed = nugget >= 0 && partial_sill >= 0 ? [{ nugget, partial_sill }] : onEdges;
  const fits = allowed.map((sills) => {
    let squares = 0;
    for (let k = 0; k < rise.length; k++)
      squares += weights[k] * (semivariance[k] - sills.nugget - sills.partial_sill * rise[k]) ** 2;
    return { range_m, smoothness: kind.smoothness, ...sills, squares };
  });
  return fits.reduce((a, b) => (b.squares < a.squares ? b : a));
}

function weightsOf({ pairs, distance_m }: EmpiricalVariogram, weights: VariogramWeights): Float64Array {
  if (weights === 'pairs') return pairs;
  if (weights === 'equal') return new Float64Array(pairs.length).fill(1);
  // a class of pairs at one place would weigh without end
  const least_m = positiveLeast(distance_m);
  return pairs.map((count, k) => count / Math.max(distance_m[k], least_m) ** 2);
}

function positiveLeast(distance_m: Float64Array): number {
  return distance_m.find((distance) => distance > 0) ?? 1;
}

function squaresAboutMean({ semivariance }: EmpiricalVariogram, weights: Float64Array): number {
  let [w, wg] = [0, 0];
  for (let k = 0; k < weights.length; k++) {
    w += weights[k];
    wg += weights[k] * semivariance[k];
  }
  return semivariance.reduce(
    (sum, semivariance_k, k) => sum + weights[k] * (semivariance_k - wg / w) ** 2,
    0,
  );
}
