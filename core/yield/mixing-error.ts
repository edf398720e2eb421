/** How far a point's yield is from what grew there because grain of other ground came through with it. */
import { upperBound } from '../columns.ts';
import { MAD_TO_SD, median } from '../stats/quantiles.ts';

/**
 * What a point is off by, over half the second difference of what is shown. With a first-order response whose mean delay is
 * taken off, `e = s(t + τ) − s(t) − τ s′(t)`: for ground that changes smoothly both are `τ² s″/2`, ratio 1; for ground that
 * wanders (linear variogram) `√(0.472 / 0.168) = 1.68`. The geometric mean of the two is within 30 % of either (ours).
 */
const ERROR_OVER_BEND = 1.3;
/** Variance of half a second difference of independent noise, over the noise's: (1 + 4 + 1)/4. */
const NOISE_IN_BEND = 1.5;
/** Flow rises and falls so many mixings after the start and about the end of a pass; such bends are not the ground's. */
const RAMP_MIXINGS = 4;
/** Rows that tell the median; every so many-th where there are more. */
const ENOUGH_ROWS = 3000;
/** Differences below which nothing is told of their scatter. */
const LEAST_DIFFERENCES = 30;

/** One machine's rows in the order of time. */
export interface MixedRows {
  readonly t_s: Float64Array;
  readonly pass: Int32Array;
  readonly yield_kg_m2: Float64Array;
  /** Standard error of the yield by the scatter of the paddles alone: what of the bends is no ground. */
  readonly noise_se_kg_m2: Float64Array;
}

/**
 * Standard error by mixing of every row of the plot, kg/m²: `1.3 √(b² − 1.5 σ²)`, b = `1.4826 median|y(t + τ) − 2 y(t) + y(t − τ)| / 2`
 * over rows four mixings or more inside their pass, σ the median noise of a row. 0 without a mixing, with too
 * few such rows to judge, or where the bends are no more than noise.
 */
export function mixingError(rows: MixedRows, mixing_s: number): number {
  if (!(mixing_s > 0)) return 0;
  const { t_s, yield_kg_m2, noise_se_kg_m2 } = rows;
  const bends: number[] = [];
  const noises: number[] = [];
  const stride = Math.ceil(t_s.length / ENOUGH_ROWS);
  for (let i = 0; i < t_s.length; i += stride) {
    if (!isInside(rows, i, RAMP_MIXINGS * mixing_s)) continue;
    const bend = (yieldAt(rows, i, mixing_s) - 2 * yield_kg_m2[i] + yieldAt(rows, i, -mixing_s)) / 2;
    if (!Number.isFinite(bend)) continue;
    bends.push(Math.abs(bend));
    noises.push(noise_se_kg_m2[i]);
  }
  if (bends.length < LEAST_DIFFERENCES) return 0;
  const bend_kg_m2 = MAD_TO_SD * median(bends);
  return ERROR_OVER_BEND * Math.sqrt(Math.max(0, bend_kg_m2 ** 2 - NOISE_IN_BEND * median(noises) ** 2));
}

function isInside({ t_s, pass }: MixedRows, i: number, by_s: number): boolean {
  const before = upperBound(t_s, t_s[i] - by_s) - 1;
  const after = upperBound(t_s, t_s[i] + by_s);
  return pass[i] >= 0 && pass[before] === pass[i] && pass[after] === pass[i];
}

/** Yield so many seconds from row i, linear between rows; NaN outside its pass. */
function yieldAt({ t_s, pass, yield_kg_m2 }: MixedRows, i: number, after_s: number): number {
  const at_s = t_s[i] + after_s;
  const right = upperBound(t_s, at_s);
  const left = right - 1;
  if (left < 0 || right >= t_s.length || pass[left] !== pass[i] || pass[right] !== pass[i]) return Number.NaN;
  const share = (at_s - t_s[left]) / (t_s[right] - t_s[left]);
  return (1 - share) * yield_kg_m2[left] + share * yield_kg_m2[right];
}
