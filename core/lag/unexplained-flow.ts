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
  return gaps.map((gap) => {
    const from = gap.rows[0] - deepest;
    const length = gap.rows[gap.rows.length - 1] + 1 - from + shallowest;
    const middle = (gap.stop + gap.resume) >> 1;
    const flow = new GapFlow(grain, gap.rows);
    const table = new Float64Array(mixings_s.length * transports_s.length);
    for (let m = 0; m < mixings_s.length; m++) {
      const basis = filteredBasis(area, from, length, middle, mixings_s[m]);
      const parts = new Map<number, ShiftedBasis>();
      for (let k = 0; k < transports_s.length; k++) {
        const shift = -from - transports_s[k] / STEP_S;
        const whole = Math.floor(shift);
        const part = shift - whole;
        let shifted = parts.get(part);
        if (shifted === undefined) {
          shifted = new ShiftedBasis(basis, length, part);
          parts.set(part, shifted);
        }
        table[m * transports_s.length + k] = flow.unexplained(shifted, whole);
      }
    }
    return table;
  });
}

/** Area, and area × time, before and after the gap's middle, each through the first-order filter: `BASIS` numbers a step. */
function filteredBasis(
  area: Float64Array,
  from: number,
  length: number,
  middle: number,
  mixing_s: number,
): Float64Array {
  const decay = Math.exp(-STEP_S / mixing_s);
  const basis = new Float64Array(BASIS * length);
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
  return basis;
}

/** The basis moved by part of a step, with running sums of its products, so that those of any stretch are a difference. */
class ShiftedBasis {
  /** `BASIS` numbers a step, one step fewer than the basis has. */
  readonly steps: Float64Array;
  /** `PRODUCTS` numbers a step: sums of the products of all steps before. */
  readonly sums: Float64Array;

  constructor(basis: Float64Array, length: number, part: number) {
    const steps = new Float64Array(BASIS * (length - 1));
    const sums = new Float64Array(PRODUCTS * length);
    for (let i = 0; i < steps.length; i++) steps[i] = basis[i] + (basis[i + BASIS] - basis[i]) * part;
    for (let i = 0; i + 1 < length; i++) {
      let product = PRODUCTS * i;
      for (let a = 0; a < BASIS; a++) {
        for (let b = 0; b <= a; b++, product++) {
          sums[product + PRODUCTS] = sums[product] + steps[BASIS * i + a] * steps[BASIS * i + b];
        }
      }
    }
    this.steps = steps;
    this.sums = sums;
  }
}

/** The flow of one gap, row by row, and the unbroken stretches that its rows are made of. */
class GapFlow {
  readonly #flow: Float64Array;
  readonly #rows: Int32Array;
  /** First row and end of each stretch. */
  readonly #stretches: readonly (readonly [from: number, to: number])[];
  readonly #square: number;
  readonly #normal = new Float64Array(PRODUCTS);
  readonly #right = new Float64Array(BASIS);

  constructor(grain: Float64Array, rows: Int32Array) {
    this.#rows = rows;
    this.#flow = new Float64Array(rows.length);
    let square = 0;
    for (let i = 0; i < rows.length; i++) {
      this.#flow[i] = grain[rows[i]];
      square += this.#flow[i] * this.#flow[i];
    }
    this.#square = square;
    const stretches: [number, number][] = [];
    for (let i = 0; i < rows.length; i++) {
      if (i > 0 && rows[i] === rows[i - 1] + 1) stretches[stretches.length - 1][1] = rows[i] + 1;
      else stretches.push([rows[i], rows[i] + 1]);
    }
    this.#stretches = stretches;
  }

  /** Least squares of the flow on the basis, its step `row + whole` for each row: residual sum of squares over the flow's own. */
  unexplained({ steps, sums }: ShiftedBasis, whole: number): number {
    if (!(this.#square > 0)) return 0;
    const normal = this.#normal;
    normal.fill(0);
    for (const [from, to] of this.#stretches) {
      for (let product = 0; product < PRODUCTS; product++) {
        normal[product] +=
          sums[PRODUCTS * (to + whole) + product] - sums[PRODUCTS * (from + whole) + product];
      }
    }
    let r0 = 0;
    let r1 = 0;
    let r2 = 0;
    let r3 = 0;
    // written out: this is the innermost loop of the whole chain
    for (let i = 0; i < this.#flow.length; i++) {
      const at = BASIS * (this.#rows[i] + whole);
      const y = this.#flow[i];
      r0 += steps[at] * y;
      r1 += steps[at + 1] * y;
      r2 += steps[at + 2] * y;
      r3 += steps[at + 3] * y;
    }
    const right = this.#right;
    right[0] = r0;
    right[1] = r1;
    right[2] = r2;
    right[3] = r3;
    return Math.max(0, this.#square - explained(normal, right)) / this.#square;
  }
}

/** Diagonal elements of a lower triangle row by row. */
const DIAGONAL = [0, 2, 5, 9];
/** A ridge of this share of the largest element, so that an empty column (no ground cut) explains nothing instead of dividing by 0. */
const RIDGE = 1e-12;

/**
 * Sum of squares that a least-squares fit explains: rᵀN⁻¹r = |L⁻¹r|², N = LLᵀ the normal matrix (lower triangle, overwritten
 * by L), r the right side (overwritten).
 */
function explained(normal: Float64Array, right: Float64Array): number {
  let largest = 0;
  for (let i = 0; i < BASIS; i++) largest = Math.max(largest, normal[DIAGONAL[i]]);
  const ridge = largest * RIDGE + Number.MIN_VALUE;
  let sum = 0;
  for (let i = 0, row = 0; i < BASIS; i++, row += i) {
    for (let j = 0, other = 0; j <= i; j++, other += j) {
      let element = normal[row + j] + (i === j ? ridge : 0);
      for (let k = 0; k < j; k++) element -= normal[row + k] * normal[other + k];
      normal[row + j] = i === j ? Math.sqrt(Math.max(element, ridge)) : element / normal[other + j];
    }
    let z = right[i];
    for (let k = 0; k < i; k++) z -= normal[row + k] * right[k];
    right[i] = z / normal[row + i];
    sum += right[i] * right[i];
  }
  return sum;
}
