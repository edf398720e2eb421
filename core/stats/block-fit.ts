/**
 * Least squares of `y = block + treatment + error`, whatever cells are missing or filled twice: analysis of variance of
 * randomised blocks, of incomplete ones, and with a single block that of one way [Searle1971 §7.1; CochranCox1957 §4.2].
 */
import { mean } from './moments.ts';
import { symmetricInverse } from './symmetric-inverse.ts';

export interface BlockFit {
  /** Treatments' means over all blocks alike (least-squares means); plain means where no cell is missing. */
  readonly means: Float64Array;
  readonly counts: Int32Array;
  readonly blocks: VarianceRow;
  /** Adjusted for blocks. */
  readonly treatments: VarianceRow;
  readonly error: VarianceRow;
  readonly grand_mean: number;
  /** Standard error of the difference of two means. */
  readonly differenceSe: (i: number, j: number) => number;
  /** Of one mean, the blocks being taken as they are. */
  readonly meanSe: (i: number) => number;
}

export interface VarianceRow {
  readonly df: number;
  readonly sum_of_squares: number;
}

/**
 * `treatment` and `block` count from 0, one row a strip. `undefined` where treatments cannot all be compared through the
 * blocks that they share. Throws RangeError for columns of unequal length.
 */
export function fitBlocks(
  y: Float64Array,
  treatment: Int32Array,
  block: Int32Array,
  treatments: number,
  blocks: number,
): BlockFit | undefined {
  const n = y.length;
  if (treatment.length !== n || block.length !== n)
    throw new RangeError(`${n} numbers have ${treatment.length} treatments and ${block.length} blocks`);
  if (!isConnected(treatment, block, treatments, blocks)) return undefined;
  const grand_mean = mean(y);
  const counts = new Int32Array(treatments);
  const sizes = new Int32Array(blocks);
  const cells = new Float64Array(treatments * blocks);
  const blockSums = new Float64Array(blocks);
  const treatmentSums = new Float64Array(treatments);
  for (let k = 0; k < n; k++) {
    counts[treatment[k]]++;
    sizes[block[k]]++;
    cells[treatment[k] * blocks + block[k]]++;
    blockSums[block[k]] += y[k] - grand_mean;
    treatmentSums[treatment[k]] += y[k] - grand_mean;
  }
  // reduced normal equations C τ = Q, made regular by a constant that shifts all τ alike
  const matrix = new Float64Array(treatments * treatments).fill(1 / treatments);
  const adjusted = treatmentSums.slice();
  for (let i = 0; i < treatments; i++) {
    matrix[i * treatments + i] += counts[i];
    for (let b = 0; b < blocks; b++) {
      const held = cells[i * blocks + b];
      if (held === 0) continue;
      adjusted[i] -= (held * blockSums[b]) / sizes[b];
      for (let j = 0; j < treatments; j++)
        matrix[i * treatments + j] -= (held * cells[j * blocks + b]) / sizes[b];
    }
  }
  const inverse = symmetricInverse(matrix, treatments);
  const effects = Float64Array.from({ length: treatments }, (_, i) => {
    let sum = 0;
    for (let j = 0; j < treatments; j++) sum += inverse[i * treatments + j] * adjusted[j];
    return sum;
  });
  const levels = blockSums.map((sum, b) => {
    let held = 0;
    for (let i = 0; i < treatments; i++) held += cells[i * blocks + b] * effects[i];
    return (sum - held) / sizes[b];
  });
  const level = levels.reduce((sum, one) => sum + one, 0) / blocks;
  let squares = 0;
  for (let k = 0; k < n; k++) squares += (y[k] - grand_mean - levels[block[k]] - effects[treatment[k]]) ** 2;
  const error = { df: n - blocks - treatments + 1, sum_of_squares: squares };
  const mse = error.df > 0 ? squares / error.df : Number.NaN;
  const at = (i: number, j: number) => inverse[i * treatments + j];
  return {
    means: effects.map((effect) => grand_mean + level + effect),
    counts,
    blocks: {
      df: blocks - 1,
      sum_of_squares: blockSums.reduce((sum, one, b) => sum + one ** 2 / sizes[b], 0),
    },
    treatments: {
      df: treatments - 1,
      sum_of_squares: effects.reduce((sum, effect, i) => sum + effect * adjusted[i], 0),
    },
    error,
    grand_mean,
    differenceSe: (i, j) => Math.sqrt(mse * (at(i, i) + at(j, j) - 2 * at(i, j))),
    meanSe: (i) => Math.sqrt(mse * meanShare(i, { cells, sizes, treatments, blocks, at })),
  };
}

interface Design {
  readonly cells: Float64Array;
  readonly sizes: Int32Array;
  readonly treatments: number;
  readonly blocks: number;
  readonly at: (i: number, j: number) => number;
}

/** Variance of a least-squares mean over that of one strip: of Σ_b (B_b − Σ_j n_jb τ_j)/(k_b b) + τ_i. */
function meanShare(i: number, { cells, sizes, treatments, blocks, at }: Design): number {
  const lean = Float64Array.from({ length: treatments }, (_, j) => {
    let share = j === i ? 1 : 0;
    for (let b = 0; b < blocks; b++) share -= cells[j * blocks + b] / sizes[b] / blocks;
    return share;
  });
  let variance = 0;
  for (let b = 0; b < blocks; b++) variance += 1 / (sizes[b] * blocks ** 2);
  for (let j = 0; j < treatments; j++)
    for (let k = 0; k < treatments; k++) variance += lean[j] * lean[k] * at(j, k);
  return variance;
}

/** Whether a way leads from every treatment to every other through blocks that hold both. */
function isConnected(treatment: Int32Array, block: Int32Array, treatments: number, blocks: number): boolean {
  const group = Int32Array.from({ length: treatments + blocks }, (_, k) => k);
  const rootOf = (k: number): number => (group[k] === k ? k : rootOf(group[k]));
  for (let k = 0; k < treatment.length; k++) group[rootOf(treatment[k])] = rootOf(treatments + block[k]);
  for (let t = 1; t < treatments; t++) if (rootOf(t) !== rootOf(0)) return false;
  return true;
}
