/** How much of the flow about each gap in cutting a lag and a mixing leave unexplained. */
import { type Gap, STEP_S } from './cutting-gaps.ts';
import { solveSymmetric } from './normal-equations.ts';

/** Memory of the first-order filter that is followed back, s. */
export const MEMORY_S = 40;

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
    const table = new Float64Array(mixings_s.length * transports_s.length);
    for (let m = 0; m < mixings_s.length; m++) {
      const basis = filteredBasis(area, from, length, middle, mixings_s[m]);
      for (let k = 0; k < transports_s.length; k++) {
        const shift = -from - transports_s[k] / STEP_S;
        table[m * transports_s.length + k] = unexplained(grain, gap.rows, basis, shift);
      }
    }
    return table;
  });
}

/** Area, and area × time, before and after the gap's middle, each through the first-order filter. */
function filteredBasis(
  area: Float64Array,
  from: number,
  length: number,
  middle: number,
  mixing_s: number,
): Float64Array[] {
  const decay = Math.exp(-STEP_S / mixing_s);
  const basis = [0, 1, 2, 3].map(() => new Float64Array(length));
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
    for (let b = 0; b < 4; b++) {
      basis[b][i] = own * input[b] + carried * held[b];
      held[b] = decay * held[b] + (1 - decay) * input[b];
    }
  }
  return basis;
}

/** Least squares of the flow on the shifted basis: residual sum of squares over the flow's own. */
function unexplained(
  grain: Float64Array,
  rows: Int32Array,
  basis: readonly Float64Array[],
  shift: number,
): number {
  const whole = Math.floor(shift);
  const part = shift - whole;
  const [b0, b1, b2, b3] = basis;
  let square = 0;
  // written out: this is the innermost loop of the whole chain
  let n00 = 0,
    n10 = 0,
    n11 = 0,
    n20 = 0,
    n21 = 0,
    n22 = 0,
    n30 = 0,
    n31 = 0,
    n32 = 0,
    n33 = 0;
  let r0 = 0,
    r1 = 0,
    r2 = 0,
    r3 = 0;
  for (let i = 0; i < rows.length; i++) {
    const at = rows[i] + whole;
    const y = grain[rows[i]];
    const x0 = b0[at] + (b0[at + 1] - b0[at]) * part;
    const x1 = b1[at] + (b1[at + 1] - b1[at]) * part;
    const x2 = b2[at] + (b2[at + 1] - b2[at]) * part;
    const x3 = b3[at] + (b3[at + 1] - b3[at]) * part;
    square += y * y;
    r0 += x0 * y;
    r1 += x1 * y;
    r2 += x2 * y;
    r3 += x3 * y;
    n00 += x0 * x0;
    n10 += x1 * x0;
    n11 += x1 * x1;
    n20 += x2 * x0;
    n21 += x2 * x1;
    n22 += x2 * x2;
    n30 += x3 * x0;
    n31 += x3 * x1;
    n32 += x3 * x2;
    n33 += x3 * x3;
  }
  const normal = Float64Array.of(n00, 0, 0, 0, n10, n11, 0, 0, n20, n21, n22, 0, n30, n31, n32, n33);
  const right = Float64Array.of(r0, r1, r2, r3);
  const solution = solveSymmetric(normal, right, 4);
  let explained = 0;
  for (let b = 0; b < 4; b++) explained += solution[b] * right[b];
  return square > 0 ? Math.max(0, square - explained) / square : 0;
}
