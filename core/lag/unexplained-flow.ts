/** How much of the flow about each gap in cutting a lag and a mixing leave unexplained. */
import { type Gap, STEP_S } from './cutting-gaps.ts';

/** Memory of the first-order filter that is followed back, s. */
export const MEMORY_S = 40;

/** Basis columns: area, and area × time, before and after the gap's middle. */
const BASIS = 4;
/** Products of two of them, lower triangle row by row. */
const PRODUCTS = (BASIS * (BASIS + 1)) / 2;

/**
 * Unexplained share of each gap's flow for every (mixing, transport): one row a gap, transport running fastest.
 * Long rests are looked at as a whole: nothing is expected in their middle, and nothing there is evidence too.
 */
export function unexplainedTable(
  area: Float64Array,
  grain: Float64Array,
  gaps: readonly Gap[],
  transports_s: Float64Array,
  mixings_s: readonly number[] | Float64Array,
): Float64Array[] {
  const deepest = Math.ceil((transports_s[transports_s.length - 1] + MEMORY_S) / STEP_S);
  const shallowest = Math.ceil(Math.max(0, -transports_s[0]) / STEP_S) + 1;
  // room for the longest gap, used again for all: millions of short columns would cost more than what is done with them
  const longest = gaps.reduce((most, { rows }) => Math.max(most, rows[rows.length - 1] + 1 - rows[0]), 0);
  const basis = new Float64Array(BASIS * (longest + deepest + shallowest));
  const parts: ShiftedBasis[] = [];
  return gaps.map((gap) => {
    const from = gap.rows[0] - deepest;
    const length = gap.rows[gap.rows.length - 1] + 1 - from + shallowest;
    const middle = (gap.stop + gap.resume) >> 1;
    const flow = new GapFlow(grain, gap.rows);
    const table = new Float64Array(mixings_s.length * transports_s.length);
    for (let m = 0; m < mixings_s.length; m++) {
      fillFilteredBasis(basis, area, from, length, middle, mixings_s[m]);
      for (const shifted of parts) shifted.part = Number.NaN;
      for (let k = 0; k < transports_s.length; k++) {
        const shift = -from - transports_s[k] / STEP_S;
        const whole = Math.floor(shift);
        const part = shift - whole;
        table[m * transports_s.length + k] = flow.unexplained(shiftedBy(part, basis, length, parts), whole);
      }
    }
    return table;
  });
}

/** The basis moved by part of a step: the one among `parts` that was moved so already, else one that is free, else a new one. */
function shiftedBy(part: number, basis: Float64Array, length: number, parts: ShiftedBasis[]): ShiftedBasis {
  const known = parts.find((one) => one.part === part);
  if (known !== undefined) return known;
  let shifted = parts.find((one) => Number.isNaN(one.part));
  if (shifted === undefined) {
    shifted = new ShiftedBasis(basis.length / BASIS);
    parts.push(shifted);
  }
  shifted.fill(basis, length, part);
  return shifted;
}

/** Area, and area × time, before and after the gap's middle, each through the first-order filter: `BASIS` numbers a step. */
function fillFilteredBasis(
  basis: Float64Array,
  area: Float64Array,
  from: number,
  length: number,
  middle: number,
  mixing_s: number,
): void {
  const decay = Math.exp(-STEP_S / mixing_s);
  // Mean of the filter's output over a step, for input constant over the step.
  const own = 1 - (mixing_s / STEP_S) * (1 - decay);
  const carried = (mixing_s / STEP_S) * (1 - decay);
  const held = [0, 0, 0, 0];
  const input = [0, 0, 0, 0];
  for (let i = 0; i < length; i++) {
    const at = from + i;
    const a = at >= 0 && at < area.length ? area[at] : 0;
    const after = at >= middle;
    const time = (at - middle) * STEP_S * 0.02;
    input[0] = after ? 0 : a;
    input[1] = input[0] * time;
    input[2] = after ? a : 0;
    input[3] = input[2] * time;
    for (let b = 0; b < BASIS; b++) {
      basis[BASIS * i + b] = own * input[b] + carried * held[b];
      held[b] = decay * held[b] + (1 - decay) * input[b];
    }
  }
}

/** The basis moved by part of a step, with running sums of its products, so that those of any stretch are a difference. */
class ShiftedBasis {
  /** NaN while it holds nothing of use. */
  part = Number.NaN;
  /** `BASIS` numbers a step, one step fewer than the basis has. */
  readonly steps: Float64Array;
  /** `PRODUCTS` numbers a step: sums of the products of all steps before. */
  readonly sums: Float64Array;

  /** With room for so many steps. */
  constructor(most: number) {
    this.steps = new Float64Array(BASIS * most);
    this.sums = new Float64Array(PRODUCTS * most);
  }

  fill(basis: Float64Array, length: number, part: number): void {
    this.part = part;
    const { steps, sums } = this;
    const end = BASIS * (length - 1);
    for (let at = 0, sum = 0; at < end; at += BASIS, sum += PRODUCTS) {
      const x0 = basis[at] + (basis[at + BASIS] - basis[at]) * part;
      const x1 = basis[at + 1] + (basis[at + 1 + BASIS] - basis[at + 1]) * part;
      const x2 = basis[at + 2] + (basis[at + 2 + BASIS] - basis[at + 2]) * part;
      const x3 = basis[at + 3] + (basis[at + 3 + BASIS] - basis[at + 3]) * part;
      steps[at] = x0;
      steps[at + 1] = x1;
      steps[at + 2] = x2;
      steps[at + 3] = x3;
      sums[sum + 10] = sums[sum] + x0 * x0;
      sums[sum + 11] = sums[sum + 1] + x1 * x0;
      sums[sum + 12] = sums[sum + 2] + x1 * x1;
      sums[sum + 13] = sums[sum + 3] + x2 * x0;
      sums[sum + 14] = sums[sum + 4] + x2 * x1;
      sums[sum + 15] = sums[sum + 5] + x2 * x2;
      sums[sum + 16] = sums[sum + 6] + x3 * x0;
      sums[sum + 17] = sums[sum + 7] + x3 * x1;
      sums[sum + 18] = sums[sum + 8] + x3 * x2;
      sums[sum + 19] = sums[sum + 9] + x3 * x3;
    }
  }
}

/** The flow of one gap, row by row, and the unbroken stretches that its rows are made of. */
class GapFlow {
  readonly #flow: Float64Array;
  /** First row and end of each stretch, one after the other. */
  readonly #bounds: Int32Array;
  readonly #square: number;
  readonly #normal = new Float64Array(PRODUCTS);

  constructor(grain: Float64Array, rows: Int32Array) {
    this.#flow = new Float64Array(rows.length);
    let square = 0;
    const bounds: number[] = [];
    for (let i = 0; i < rows.length; i++) {
      this.#flow[i] = grain[rows[i]];
      square += this.#flow[i] * this.#flow[i];
      if (i > 0 && rows[i] === rows[i - 1] + 1) bounds[bounds.length - 1] = rows[i] + 1;
      else bounds.push(rows[i], rows[i] + 1);
    }
    this.#square = square;
    this.#bounds = Int32Array.from(bounds);
  }

  /** Least squares of the flow on the basis, its step `row + whole` for each row: residual sum of squares over the flow's own. */
  unexplained({ steps, sums }: ShiftedBasis, whole: number): number {
    if (!(this.#square > 0)) return 0;
    const flow = this.#flow;
    const normal = this.#normal;
    normal.fill(0);
    let r0 = 0;
    let r1 = 0;
    let r2 = 0;
    let r3 = 0;
    // written out: this is the innermost loop of the whole chain
    for (let bound = 0, i = 0; bound < this.#bounds.length; bound += 2) {
      const from = this.#bounds[bound] + whole;
      const to = this.#bounds[bound + 1] + whole;
      for (let product = 0; product < PRODUCTS; product++) {
        normal[product] += sums[PRODUCTS * to + product] - sums[PRODUCTS * from + product];
      }
      for (let at = BASIS * from; at < BASIS * to; at += BASIS, i++) {
        const y = flow[i];
        r0 += steps[at] * y;
        r1 += steps[at + 1] * y;
        r2 += steps[at + 2] * y;
        r3 += steps[at + 3] * y;
      }
    }
    return Math.max(0, this.#square - explained(normal, r0, r1, r2, r3)) / this.#square;
  }
}

/** A ridge of this share of the largest element, so that an empty column (no ground cut) explains nothing instead of dividing by 0. */
const RIDGE = 1e-12;

/**
 * Sum of squares that a least-squares fit explains: rᵀN⁻¹r = |L⁻¹r|², N = LLᵀ the normal matrix (lower triangle row by row),
 * r the right side; Cholesky's L column by column.
 */
function explained(normal: Float64Array, r0: number, r1: number, r2: number, r3: number): number {
  // one by one: taking a column apart goes through its iterator
  const n00 = normal[0];
  const n10 = normal[1];
  const n11 = normal[2];
  const n20 = normal[3];
  const n21 = normal[4];
  const n22 = normal[5];
  const n30 = normal[6];
  const n31 = normal[7];
  const n32 = normal[8];
  const n33 = normal[9];
  const ridge = Math.max(n00, n11, n22, n33, 0) * RIDGE + Number.MIN_VALUE;
  const l00 = Math.sqrt(Math.max(n00 + ridge, ridge));
  const l10 = n10 / l00;
  const l20 = n20 / l00;
  const l30 = n30 / l00;
  const z0 = r0 / l00;
  const l11 = Math.sqrt(Math.max(n11 + ridge - l10 * l10, ridge));
  const l21 = (n21 - l20 * l10) / l11;
  const l31 = (n31 - l30 * l10) / l11;
  const z1 = (r1 - l10 * z0) / l11;
  const l22 = Math.sqrt(Math.max(n22 + ridge - l20 * l20 - l21 * l21, ridge));
  const l32 = (n32 - l30 * l20 - l31 * l21) / l22;
  const z2 = (r2 - l20 * z0 - l21 * z1) / l22;
  const l33 = Math.sqrt(Math.max(n33 + ridge - l30 * l30 - l31 * l31 - l32 * l32, ridge));
  const z3 = (r3 - l30 * z0 - l31 * z1 - l32 * z2) / l33;
  return z0 * z0 + z1 * z1 + z2 * z2 + z3 * z3;
}
