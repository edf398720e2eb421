/**
 * Lag and mixing from the ends of passes: grain stops coming some time after the header leaves the crop, and starts again
 * some time after it re-enters. The ground cut by time is known exactly (fresh area of each interval), so the flow at the
 * beam is predicted as
 *
 *   q(t) = [(Y·a) ⊗ h](t − L),   h(u) = exp(−u/τ)/τ,   a = fresh area per second
 *
 * (first order plus dead time [Arslan 2008]), with the yield Y a straight line in time on either side of each gap in
 * cutting, fitted by least squares for every candidate (L, τ). What is left unexplained, summed over all gaps, is
 * smallest at the machine's own lag and mixing. The standard error is a bootstrap over gaps.
 */
import type { GrainPassage } from '../signal/grain-passage.ts';
import { standardDeviation } from '../stats/moments.ts';
import { median } from '../stats/quantiles.ts';
import { amountPerStep, areaPerStep, type CutRecord } from './cut-record.ts';
import { createDeterministicDraw } from './deterministic-draw.ts';
import { solveSymmetric } from './normal-equations.ts';

export interface EndsOfPassesSolution {
  readonly transport_s: number;
  readonly mixing_s: number;
  readonly transport_se_s: number;
  readonly mixing_se_s: number;
  /** Gaps in cutting that took part. */
  readonly gaps: number;
  /** Unexplained share of the flow's variation against transport lag, at the best mixing. */
  readonly curve: { readonly transport_s: Float64Array; readonly unexplained: Float64Array };
}

export interface EndsOfPassesRange {
  readonly transport_min_s: number;
  readonly transport_max_s: number;
}

/** Published delays reach from about 5 s to 20 s (science: 8–14 s in three combines [Beal & Tian 2001]); room on both sides. */
export const TRANSPORT_RANGE: EndsOfPassesRange = { transport_min_s: -10, transport_max_s: 40 };

const STEP_S = 0.5;
/** Cutting must rest for at least this long to be a gap, and last this long on either side. */
const GAP_MIN_S = 4;
const CUTTING_MIN_S = 20;
/** Flow looked at before the gap begins and after cutting resumes. */
const BEFORE_S = 10;
const AFTER_S = 45;
/** Once the lag is roughly known: flow looked at about its fall and its rise. A straight-line yield holds over so short a way. */
const FALL_BEFORE_S = 10;
const FALL_AFTER_S = 16;
const RISE_BEFORE_S = 4;
const RISE_AFTER_S = 16;
/** Memory of the first-order filter that is followed back. */
const MEMORY_S = 40;
const MIN_GAPS = 5;
const BOOTSTRAPS = 200;
const COARSE_MIXING_S = [0.5, 1.5, 2.5, 4, 6];

interface Gap {
  /** Grid rows at which cutting stopped and resumed. */
  readonly stop: number;
  readonly resume: number;
  /** Grid rows of the flow that are looked at, ascending. */
  readonly rows: Int32Array;
}

/** Undefined when there are too few gaps or the curve is flat: then nothing can be said. */
export function estimateEndsOfPasses(
  record: CutRecord,
  passage: GrainPassage,
  range: EndsOfPassesRange = TRANSPORT_RANGE,
): EndsOfPassesSolution | undefined {
  const n = record.t0_s.length;
  if (n === 0 || passage.t_s.length < 2) return undefined;
  const t0_s = record.t0_s[0] - MEMORY_S;
  const count = Math.ceil((record.t1_s[n - 1] + AFTER_S + 20 - t0_s) / STEP_S);
  const area = areaPerStep(record, t0_s, STEP_S, count).samples;
  const grain = amountPerStep(passage, t0_s, STEP_S, count).samples;
  const gaps = findGaps(area, grain);
  if (gaps.length < MIN_GAPS) return undefined;

  const coarseL = steps(range.transport_min_s, range.transport_max_s, 1);
  const coarse = unexplainedTable(area, grain, gaps, coarseL, COARSE_MIXING_S);
  const start = lowest(total(coarse, coarseL.length * COARSE_MIXING_S.length));
  const roughL = coarseL[start % coarseL.length];
  const roughMixing = COARSE_MIXING_S[Math.floor(start / coarseL.length)];
  if (start % coarseL.length === 0 || start % coarseL.length === coarseL.length - 1) return undefined;

  const fineL = steps(roughL - 3, roughL + 3, 0.25);
  const fineMixing = steps(Math.max(0.25, roughMixing - 2), roughMixing + 2.5, 0.5);
  const close = trimmedGaps(gaps, coarse, start).map((gap) => closely(gap, roughL, area.length));
  const fine = unexplainedTable(area, grain, close, fineL, fineMixing);
  const cells = fineL.length * fineMixing.length;
  const best = refine(total(fine, cells), fineL, fineMixing);
  const spread = bootstrap(fine, cells, fineL, fineMixing);

  const row = Math.floor(start / coarseL.length) * coarseL.length;
  const curve = total(coarse, coarseL.length * COARSE_MIXING_S.length).slice(row, row + coarseL.length);
  for (let k = 0; k < curve.length; k++) curve[k] /= gaps.length;
  if (isFlat(curve)) return undefined;
  return {
    transport_s: best.transport_s,
    mixing_s: best.mixing_s,
    transport_se_s: spread.transport_s,
    mixing_se_s: spread.mixing_s,
    gaps: fine.length,
    curve: { transport_s: coarseL, unexplained: curve },
  };
}

/** Rests in cutting with enough cutting before and after, as windows of the flow. */
function findGaps(area: Float64Array, grain: Float64Array): Gap[] {
  const spells: { first: number; last: number }[] = [];
  for (let i = 0; i < area.length; i++) {
    if (area[i] <= 0) continue;
    const open = spells[spells.length - 1];
    if (open !== undefined && i - open.last < GAP_MIN_S / STEP_S) open.last = i + 1;
    else spells.push({ first: i, last: i + 1 });
  }
  const long = spells.filter((s) => (s.last - s.first) * STEP_S >= CUTTING_MIN_S);
  const gaps: Gap[] = [];
  for (let k = 1; k < long.length; k++) {
    const before = long[k - 1];
    const after = long[k];
    const first = Math.max(before.first, before.last - BEFORE_S / STEP_S);
    const last = Math.min(after.last, after.first + AFTER_S / STEP_S, area.length);
    const rows = Int32Array.from({ length: last - first }, (_, i) => first + i);
    if (rows.some((row) => grain[row] > 0)) gaps.push({ stop: before.last, resume: after.first, rows });
  }
  return gaps;
}

/** The same gap seen closely: only the rows in which flow falls and rises when the lag is about `rough_s`. */
function closely(gap: Gap, rough_s: number, length: number): Gap {
  const shift = Math.round(rough_s / STEP_S);
  const rows: number[] = [];
  const add = (from: number, to: number) => {
    for (let i = Math.max(0, from, (rows.at(-1) ?? -1) + 1); i < Math.min(length, to); i++) rows.push(i);
  };
  add(gap.stop + shift - FALL_BEFORE_S / STEP_S, gap.stop + shift + FALL_AFTER_S / STEP_S);
  add(gap.resume + shift - RISE_BEFORE_S / STEP_S, gap.resume + shift + RISE_AFTER_S / STEP_S);
  return { ...gap, rows: Int32Array.from(rows) };
}

/**
 * Unexplained share of each gap's flow for every (mixing, transport): one row a gap, transport running fastest.
 * Long rests are looked at as a whole: nothing is expected in their middle, and nothing there is evidence too.
 */
function unexplainedTable(
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
  const normal = new Float64Array(16);
  const right = new Float64Array(4);
  const x = [0, 0, 0, 0];
  let square = 0;
  for (const row of rows) {
    const at = row + whole;
    for (let b = 0; b < 4; b++) {
      const column = basis[b];
      x[b] = column[at] * (1 - part) + column[at + 1] * part;
    }
    const y = grain[row];
    square += y * y;
    for (let b = 0; b < 4; b++) {
      right[b] += x[b] * y;
      for (let c = 0; c <= b; c++) normal[b * 4 + c] += x[b] * x[c];
    }
  }
  const solution = solveSymmetric(normal, right, 4);
  let explained = 0;
  for (let b = 0; b < 4; b++) explained += solution[b] * right[b];
  return square > 0 ? Math.max(0, square - explained) / square : 0;
}

/** Gaps whose flow the best candidate cannot explain (a plugged machine, a wrong header signal) do not vote. */
function trimmedGaps(gaps: readonly Gap[], table: readonly Float64Array[], cell: number): Gap[] {
  const typical = median(table.map((row) => row[cell]));
  return gaps.filter((_, g) => table[g][cell] <= Math.max(4 * typical, 0.01));
}

function total(table: readonly Float64Array[], cells: number): Float64Array {
  const sum = new Float64Array(cells);
  for (const row of table) for (let k = 0; k < cells; k++) sum[k] += row[k];
  return sum;
}

function lowest(column: Float64Array): number {
  let best = 0;
  for (let k = 1; k < column.length; k++) if (column[k] < column[best]) best = k;
  return best;
}

/** Lowest cell of the table, refined by a parabola along each axis and their cross term. */
function refine(sum: Float64Array, transports_s: Float64Array, mixings_s: Float64Array) {
  const width = transports_s.length;
  const cell = lowest(sum);
  const k = Math.min(width - 2, Math.max(1, cell % width));
  const m = Math.min(mixings_s.length - 2, Math.max(1, Math.floor(cell / width)));
  const at = (dm: number, dk: number) => sum[(m + dm) * width + k + dk];
  const gk = (at(0, 1) - at(0, -1)) / 2;
  const gm = (at(1, 0) - at(-1, 0)) / 2;
  const hkk = at(0, 1) - 2 * at(0, 0) + at(0, -1);
  const hmm = at(1, 0) - 2 * at(0, 0) + at(-1, 0);
  const hkm = (at(1, 1) - at(1, -1) - at(-1, 1) + at(-1, -1)) / 4;
  const determinant = hkk * hmm - hkm * hkm;
  let dk = 0;
  let dm = 0;
  if (determinant > 0 && hkk > 0) {
    dk = clampUnit((-gk * hmm + gm * hkm) / determinant);
    dm = clampUnit((-gm * hkk + gk * hkm) / determinant);
  }
  return {
    transport_s: transports_s[k] + dk * (transports_s[1] - transports_s[0]),
    mixing_s: mixings_s[m] + dm * (mixings_s[1] - mixings_s[0]),
  };
}

function clampUnit(x: number): number {
  return Math.max(-1.5, Math.min(1.5, x));
}

/** Standard deviation of the optimum over resampled gaps; the draw is deterministic. */
function bootstrap(
  table: readonly Float64Array[],
  cells: number,
  transports_s: Float64Array,
  mixings_s: Float64Array,
) {
  const draw = createDeterministicDraw();
  const transport = new Float64Array(BOOTSTRAPS);
  const mixing = new Float64Array(BOOTSTRAPS);
  for (let b = 0; b < BOOTSTRAPS; b++) {
    const sample = table.map(() => table[draw(table.length)]);
    const best = refine(total(sample, cells), transports_s, mixings_s);
    transport[b] = best.transport_s;
    mixing[b] = best.mixing_s;
  }
  return { transport_s: standardDeviation(transport), mixing_s: standardDeviation(mixing) };
}

/** A curve whose valley is shallower than a fifth of its shoulders says nothing. */
function isFlat(curve: Float64Array): boolean {
  return Math.min(...curve) > 0.8 * median(curve);
}

function steps(from: number, to: number, step: number): Float64Array {
  const count = Math.round((to - from) / step) + 1;
  return Float64Array.from({ length: count }, (_, k) => from + k * step);
}
