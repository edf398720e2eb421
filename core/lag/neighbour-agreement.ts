/**
 * Lag from neighbours: a wrong lag displaces the yields of passes driven in opposite directions in opposite ways, so that
 * points agree best with nearby points of opposite passes at the right one. For every candidate shift s the yield density
 * y_s = grain in [t0 + s, t1 + s] / fresh area is compared over one fixed set of pairs:
 *
 *   disagreement(s) = mean (y_s(i) − y_s(j))² / (2 · variance of y_s)
 *
 * Dividing by the variance keeps a shift from winning because it smooths. What is found is the shift as a whole: the
 * transport lag plus the mean of the mixing. Logs that were shifted before may answer with a negative number; it is
 * reported, not clamped. The standard error is a bootstrap over passes.
 */
import { pickRows } from '../columns.ts';
import type { GrainPassage } from '../signal/grain-passage.ts';
import { mean } from '../stats/moments.ts';
import { median } from '../stats/quantiles.ts';
import { type CutRecord, cumulativeGrain, placesOnGrid, type UniformColumn } from './cut-record.ts';
import { type Comparing, interiorPoints, oppositePairs } from './opposite-pairs.ts';
import { bootstrap, lowest, valleyOf } from './valley.ts';

export interface NeighbourAgreementSolution {
  readonly shift_s: number;
  readonly shift_se_s: number;
  readonly pairs: number;
  readonly curve: { readonly shift_s: Float64Array; readonly disagreement: Float64Array };
}

export interface NeighbourAgreementOptions extends Comparing {
  readonly shift_min_s: number;
  readonly shift_max_s: number;
}

/** For a log that nothing else tells the lag of. */
const ONLY_OPINION: NeighbourAgreementOptions = {
  most_points: 4000,
  shift_min_s: -15,
  shift_max_s: 40,
  start_margin_s: 20,
  end_margin_s: 10,
};
/** Where the ends of passes have told it more closely, which is mostly: fewer points see a mistake as well. */
export const SECOND_OPINION: NeighbourAgreementOptions = { ...ONLY_OPINION, most_points: 1500 };

const SHIFT_STEP_S = 0.5;
const GRID_STEP_S = 0.25;
const STEPS_A_SHIFT = SHIFT_STEP_S / GRID_STEP_S;
const MIN_PAIRS = 100;

/** Undefined when there are too few pairs or the curve is flat. */
export function estimateNeighbourAgreement(
  record: CutRecord,
  pass: Int32Array,
  passage: GrainPassage,
  options: NeighbourAgreementOptions = ONLY_OPINION,
): NeighbourAgreementSolution | undefined {
  const candidates = interiorPoints(record, pass, options);
  const pairs = oppositePairs(record, pass, candidates);
  if (pairs.length / 2 < MIN_PAIRS) return undefined;

  const count = Math.round((options.shift_max_s - options.shift_min_s) / SHIFT_STEP_S) + 1;
  const shifts_s = Float64Array.from({ length: count }, (_, k) => options.shift_min_s + k * SHIFT_STEP_S);
  const first_s = record.t0_s[0] + options.shift_min_s - 1;
  const last_s = record.t1_s[record.t1_s.length - 1] + options.shift_max_s + 1;
  const grain = cumulativeGrain(
    passage,
    first_s,
    GRID_STEP_S,
    Math.ceil((last_s - first_s) / GRID_STEP_S) + 2,
  );
  const squares = pairSquares(record, pairs, grain, shifts_s);
  const disagreement = squares.map((of) => mean(of.square) / (2 * of.variance));

  const best = lowest(disagreement);
  if (best === 0 || best === count - 1 || isFlat(disagreement)) return undefined;
  const shift_s = valleyOf(shifts_s, disagreement, best);
  return {
    shift_s,
    shift_se_s: bootstrap(squares, pairs, pass, shifts_s, best),
    pairs: pairs.length / 2,
    curve: { shift_s: shifts_s, disagreement: Float64Array.from(disagreement) },
  };
}

/** For every shift: squared difference of each pair and the variance of the yields that take part. */
function pairSquares(record: CutRecord, pairs: Int32Array, grain: UniformColumn, shifts_s: Float64Array) {
  const { samples } = grain;
  const area_m2 = pickRows(record.fresh_area_m2, pairs);
  const from = placesOnGrid(pairs, record.t0_s, shifts_s[0], grain);
  const to = placesOnGrid(pairs, record.t1_s, shifts_s[0], grain);
  const yields = new Float64Array(pairs.length);
  return Array.from(shifts_s, (_, s) => {
    const shift = s * STEPS_A_SHIFT;
    let sum = 0;
    for (let k = 0; k < pairs.length; k++) {
      const a = from.step[k] + shift;
      const b = to.step[k] + shift;
      const before = samples[a] + (samples[a + 1] - samples[a]) * from.part[k];
      const after = samples[b] + (samples[b + 1] - samples[b]) * to.part[k];
      yields[k] = (after - before) / area_m2[k];
      sum += yields[k];
    }
    const centre = sum / pairs.length;
    let variance = 0;
    const square = new Float64Array(pairs.length / 2);
    for (let k = 0; k < square.length; k++) {
      const a = yields[2 * k] - centre;
      const b = yields[2 * k + 1] - centre;
      variance += a * a + b * b;
      square[k] = (a - b) * (a - b);
    }
    return { square, variance: variance / pairs.length };
  });
}

/** A valley less deep than a tenth of the curve's middle says nothing. */
function isFlat(curve: readonly number[]): boolean {
  return Math.min(...curve) > 0.9 * median(curve);
}
