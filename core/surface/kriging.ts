/**
 * Ordinary kriging [Matheron1963; Cressie1993 §3.2]: the weights λ that sum to 1 and leave the least variance,
 * `C λ + μ 1 = c₀`, `1ᵀλ = 1`; estimate `λᵀz`, variance `C(0) − λᵀc₀ − μ`. For a block all covariances with it are means over
 * its points [JournelHuijbregts1978 §V.A]; the nugget is no part of them, for no area measures itself twice at one place.
 */
import { NearestPlaces, type SearchLimits } from '../stats/nearest-places.ts';
import { type BlockPoints, blockPoints } from './block-points.ts';
import { factorCholesky, solveLower, solveUpper } from './cholesky.ts';
import { covarianceFromSquare, type EvenPlane, evenPlane } from './covariance.ts';
import type { MeasuredPlaces } from './variogram.ts';
import type { VariogramModel } from './variogram-model.ts';

export interface KrigingOptions {
  /** Which measurements a place is estimated from; all of them when absent. */
  readonly search?: SearchLimits;
  /** Side of the square whose mean is estimated; 0, a point, when absent. */
  readonly block_m?: number;
  /** Which measurements go together, for leaving a group out; each is its own when absent. */
  readonly groups?: Int32Array;
}

/** What is added to the diagonal, as a share of the sill, when measurements say nearly the same twice; ×100 until it is enough. */
const FIRST_RIDGE = 1e-10;

/**
 * Kriging from one set of measurements by one model. Make it from `mergedPlaces`: two measurements at one place, without
 * noise of their own, make a system that has no answer. What is nearly that (a smooth model without nugget and places close
 * together) is solved with a little noise added, and counted in `ridged`. One place at a time: `estimate` and `variance` hold
 * the last answer, NaN where no measurement is near enough.
 */
export class OrdinaryKriging {
  estimate = Number.NaN;
  variance = Number.NaN;
  /** Measurements of the last answer. */
  neighbours = 0;
  /** Systems that needed noise added. */
  ridged = 0;
  readonly #places: MeasuredPlaces;
  readonly #index: NearestPlaces;
  readonly #search: SearchLimits;
  readonly #plane: EvenPlane;
  readonly #covariance: (squared_m2: number) => number;
  readonly #sill: number;
  readonly #block: BlockPoints;
  readonly #blockX: Float64Array;
  readonly #blockY: Float64Array;
  readonly #isPoint: boolean;
  /** Variance of what is estimated. */
  readonly #own: number;
  /** Neighbours' places in the even plane, right sides and solutions. */
  #x = new Float64Array(0);
  #y = new Float64Array(0);
  #matrix = new Float64Array(0);
  #right = new Float64Array(0);
  #ones = new Float64Array(0);
  #c0 = new Float64Array(0);
  #stride = 0;
  /** All measurements are used, and the matrix at hand is theirs. */
  #isFactored = false;

  /** Throws RangeError for a model, a search or a block that is none. */
  constructor(places: MeasuredPlaces, model: VariogramModel, options: KrigingOptions = {}) {
    this.#places = places;
    this.#index = new NearestPlaces(places.east_m, places.north_m, options.groups);
    this.#search = options.search ?? { most: Math.max(1, places.measured.length) };
    this.#plane = evenPlane(model);
    this.#covariance = covarianceFromSquare(model);
    this.#sill = model.nugget + model.partial_sill;
    const side_m = options.block_m ?? 0;
    this.#block = blockPoints(side_m);
    this.#isPoint = side_m === 0;
    const { east_m, north_m } = this.#block;
    this.#blockX = east_m.map((east, k) => this.#plane.x(east, north_m[k]));
    this.#blockY = east_m.map((east, k) => this.#plane.y(east, north_m[k]));
    this.#own = this.#isPoint ? this.#sill : this.#meanWithinBlock();
  }

  /** Estimates the point or block about a place; `except` names a group of measurements to leave out. */
  at(east_m: number, north_m: number, except = -1): void {
    const n = this.#index.nearest(east_m, north_m, this.#search, except);
    this.neighbours = n;
    this.estimate = Number.NaN;
    this.variance = Number.NaN;
    if (n === 0) return;
    this.#makeRoom(n);
    const isAll = n === this.#places.measured.length;
    const rows = isAll ? undefined : this.#index.rows;
    if (!(isAll && this.#isFactored)) {
      this.#gather(rows, n);
      this.#factor(rows, n);
      this.#isFactored = isAll;
    }
    this.#covariancesWith(east_m, north_m, n);
    this.#solve(rows, n);
  }

  #makeRoom(n: number): void {
    if (n <= this.#stride) return;
    this.#stride = n;
    this.#x = new Float64Array(n);
    this.#y = new Float64Array(n);
    this.#right = new Float64Array(n);
    this.#ones = new Float64Array(n);
    this.#c0 = new Float64Array(n);
    this.#matrix = new Float64Array(n * n);
  }

  #gather(rows: Int32Array | undefined, n: number): void {
    const { east_m, north_m } = this.#places;
    for (let k = 0; k < n; k++) {
      const row = rows === undefined ? k : rows[k];
      this.#x[k] = this.#plane.x(east_m[row], north_m[row]);
      this.#y[k] = this.#plane.y(east_m[row], north_m[row]);
    }
  }

  #factor(rows: Int32Array | undefined, n: number): void {
    let ridge = 0;
    for (;;) {
      this.#fill(rows, n, ridge);
      if (factorCholesky(this.#matrix, n, this.#stride)) break;
      ridge = ridge === 0 ? FIRST_RIDGE * this.#sill : 100 * ridge;
    }
    if (ridge > 0) this.ridged++;
    const ones = this.#ones;
    for (let k = 0; k < n; k++) ones[k] = 1;
    solveLower(this.#matrix, n, this.#stride, ones);
  }

  /** Covariances among the neighbours, the lower triangle. */
  #fill(rows: Int32Array | undefined, n: number, ridge: number): void {
    const [x, y, matrix, covariance] = [this.#x, this.#y, this.#matrix, this.#covariance];
    const noise = this.#places.noise_variance;
    for (let i = 0; i < n; i++) {
      const at = i * this.#stride;
      for (let j = 0; j < i; j++) {
        const dx = x[i] - x[j];
        const dy = y[i] - y[j];
        matrix[at + j] = covariance(dx * dx + dy * dy);
      }
      const own = noise === undefined ? 0 : noise[rows === undefined ? i : rows[i]];
      matrix[at + i] = this.#sill + ridge + Math.max(own, 0);
    }
  }

  /** Covariances of the neighbours with what is estimated. */
  #covariancesWith(east_m: number, north_m: number, n: number): void {
    const [x, y, c0, covariance] = [this.#x, this.#y, this.#c0, this.#covariance];
    const x0 = this.#plane.x(east_m, north_m);
    const y0 = this.#plane.y(east_m, north_m);
    const { weights } = this.#block;
    for (let k = 0; k < n; k++) {
      const dx = x[k] - x0;
      const dy = y[k] - y0;
      if (this.#isPoint) {
        const squared_m2 = dx * dx + dy * dy;
        c0[k] = squared_m2 > 0 ? covariance(squared_m2) : this.#sill;
        continue;
      }
      let sum = 0;
      for (let b = 0; b < weights.length; b++) {
        const bx = dx - this.#blockX[b];
        const by = dy - this.#blockY[b];
        sum += weights[b] * covariance(bx * bx + by * by);
      }
      c0[k] = sum;
    }
  }

  /** With `u = L⁻¹c₀` and `v = L⁻¹1`: `μ = (uᵀv − 1)/vᵀv`, `λ = L⁻ᵀ(u − μv)`. */
  #solve(rows: Int32Array | undefined, n: number): void {
    const [right, ones, c0] = [this.#right, this.#ones, this.#c0];
    const { measured } = this.#places;
    for (let k = 0; k < n; k++) right[k] = c0[k];
    solveLower(this.#matrix, n, this.#stride, right);
    let [uv, vv] = [0, 0];
    for (let k = 0; k < n; k++) {
      uv += right[k] * ones[k];
      vv += ones[k] * ones[k];
    }
    const mu = (uv - 1) / vv;
    for (let k = 0; k < n; k++) right[k] -= mu * ones[k];
    solveUpper(this.#matrix, n, this.#stride, right);
    const origin = measured[rows === undefined ? 0 : rows[0]];
    let [estimate, covered] = [0, 0];
    for (let k = 0; k < n; k++) {
      estimate += right[k] * (measured[rows === undefined ? k : rows[k]] - origin);
      covered += right[k] * c0[k];
    }
    this.estimate = origin + estimate;
    // what is known exactly may come out below zero by rounding
    this.variance = Math.max(0, this.#own - covered - mu);
  }

  #meanWithinBlock(): number {
    const { weights } = this.#block;
    let sum = 0;
    for (let a = 0; a < weights.length; a++) {
      for (let b = 0; b < weights.length; b++) {
        const dx = this.#blockX[a] - this.#blockX[b];
        const dy = this.#blockY[a] - this.#blockY[b];
        sum += weights[a] * weights[b] * this.#covariance(dx * dx + dy * dy);
      }
    }
    return sum;
  }
}
