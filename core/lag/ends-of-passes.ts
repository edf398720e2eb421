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
import { mean, standardDeviation } from '../stats/moments.ts';
import { median } from '../stats/quantiles.ts';
import { amountPerStep, areaPerStep, type CutRecord } from './cut-record.ts';
import { AFTER_S, closely, findGaps, type Gap, STEP_S } from './cutting-gaps.ts';
import { createDeterministicDraw } from './deterministic-draw.ts';
import { type LagByFlow, lagByFlow } from './lag-by-flow.ts';
import { MEMORY_S, unexplainedTable } from './unexplained-flow.ts';

export interface EndsOfPassesSolution {
  readonly transport_s: number;
  readonly mixing_s: number;
  readonly transport_se_s: number;
  readonly mixing_se_s: number;
  /** Gaps in cutting that took part. */
  readonly gaps: number;
  /** How the lag changes with the flow; undefined where that cannot be told. */
  readonly by_flow: LagByFlow | undefined;
  /** Unexplained share of the flow's variation against transport lag, at the best mixing. */
  readonly curve: { readonly transport_s: Float64Array; readonly unexplained: Float64Array };
}

export interface EndsOfPassesRange {
  readonly transport_min_s: number;
  readonly transport_max_s: number;
}

/** Published delays reach from about 5 s to 20 s (science: 8–14 s in three combines [Beal & Tian 2001]); room on both sides. */
const TRANSPORT_RANGE: EndsOfPassesRange = { transport_min_s: -10, transport_max_s: 40 };

/**
 * What resampling gaps cannot see, s: the half-second grid and the width of the cut (the rest of the errors of 40 simulated
 * seasons, for which it makes them as large as the standard error says).
 */
const UNSEEN_SE_S = 0.009;
const MIN_GAPS = 5;
const BOOTSTRAPS = 120;
/** The close look reaches from 2 s below to 2.5 s above. */
const COARSE_MIXING_S = [1, 2.5, 5];
/** Gaps that show where to look closely, and that are asked there: by so many the lag is told to a few hundredths of a second. */
const COARSE_GAPS = 20;
const CLOSE_GAPS = 60;

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
  const coarse = unexplainedTable(area, grain, evenlySpread(gaps, COARSE_GAPS), coarseL, COARSE_MIXING_S);
  const start = lowest(total(coarse, coarseL.length * COARSE_MIXING_S.length));
  const roughL = coarseL[start % coarseL.length];
  const roughMixing = COARSE_MIXING_S[Math.floor(start / coarseL.length)];
  if (start % coarseL.length === 0 || start % coarseL.length === coarseL.length - 1) return undefined;

  const fineL = steps(roughL - 3, roughL + 3, STEP_S);
  const fineMixing = steps(Math.max(0.25, roughMixing - 2), roughMixing + 2.5, 0.5);
  const asked = evenlySpread(gaps, CLOSE_GAPS);
  const rough = unexplainedTable(area, grain, asked, Float64Array.of(roughL), [roughMixing]);
  const close = trimmedGaps(asked, rough).map((gap) => closely(gap, roughL, area.length));
  const fine = unexplainedTable(area, grain, close, fineL, fineMixing);
  const cells = fineL.length * fineMixing.length;
  const best = refine(total(fine, cells), fineL, fineMixing);
  const spread = bootstrap(fine, cells, fineL, fineMixing);

  const row = Math.floor(start / coarseL.length) * coarseL.length;
  const curve = total(coarse, coarseL.length * COARSE_MIXING_S.length).slice(row, row + coarseL.length);
  for (let k = 0; k < curve.length; k++) curve[k] /= coarse.length;
  if (isFlat(curve)) return undefined;
  return {
    transport_s: best.transport_s,
    mixing_s: best.mixing_s,
    transport_se_s: Math.hypot(spread.transport_s, UNSEEN_SE_S),
    mixing_se_s: spread.mixing_s,
    gaps: fine.length,
    by_flow: lagByFlow(
      rowsAtMixing(fine, best.mixing_s, fineL.length, fineMixing),
      fineL,
      Float64Array.from(close, ({ stop }) => flowBefore(grain, stop + Math.round(roughL / STEP_S))),
    ),
    curve: { transport_s: coarseL, unexplained: curve },
  };
}

/** Of every gap, what is left over all transports at the mixing nearest to the best one. */
function rowsAtMixing(
  table: readonly Float64Array[],
  mixing_s: number,
  width: number,
  mixings_s: Float64Array,
): Float64Array[] {
  const off = mixings_s.map((s) => Math.abs(s - mixing_s));
  const m = lowest(off);
  return table.map((row) => row.subarray(m * width, (m + 1) * width));
}

/** Mean flow over this long before it falls, s. */
const FLOW_BEFORE_S = 10;

function flowBefore(grain: Float64Array, row: number): number {
  return mean(grain.subarray(Math.max(0, row - FLOW_BEFORE_S / STEP_S), Math.max(0, row)));
}

/** As many as `most` of them, from the first to the last. */
function evenlySpread(gaps: readonly Gap[], most: number): readonly Gap[] {
  if (gaps.length <= most) return gaps;
  return Array.from({ length: most }, (_, k) => gaps[Math.floor((k * (gaps.length - 1)) / (most - 1))]);
}

/** Gaps whose flow the best candidate cannot explain (a plugged machine, a wrong header signal) do not vote. `rough[g][0]` is what it leaves of each. */
function trimmedGaps(gaps: readonly Gap[], rough: readonly Float64Array[]): Gap[] {
  const typical = median(rough.map(([unexplained]) => unexplained));
  return gaps.filter((_, g) => rough[g][0] <= Math.max(4 * typical, 0.01));
}

/** Sum of the rows, each as often as `times` says; once each without it. */
function total(table: readonly Float64Array[], cells: number, times?: Float64Array): Float64Array {
  const sum = new Float64Array(cells);
  for (let g = 0; g < table.length; g++) {
    const row = table[g];
    const often = times === undefined ? 1 : times[g];
    if (often > 0) for (let k = 0; k < cells; k++) sum[k] += often * row[k];
  }
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
  const times = new Float64Array(table.length);
  for (let b = 0; b < BOOTSTRAPS; b++) {
    times.fill(0);
    for (let g = 0; g < table.length; g++) times[draw(table.length)]++;
    const best = refine(total(table, cells, times), transports_s, mixings_s);
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
