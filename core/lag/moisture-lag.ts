/**
 * Lag of the moisture: grain is at the moisture sensor later than at the beam, by a time that nothing else shows. As with
 * the grain itself, a wrong lag displaces the moisture of passes driven opposite ways in opposite ways, so that
 *
 *   disagreement(s) = mean (M(tᵢ + s) − M(tⱼ + s))² / (2 · variance)
 *
 * over pairs of neighbouring points of opposite passes is least at the right one. Moisture changes slowly over the ground,
 * so that many fields cannot tell; then nothing is said.
 */
import type { MoistureRecord } from '../signal/machine-record.ts';
import { mean } from '../stats/moments.ts';
import { median, scaledMad } from '../stats/quantiles.ts';
import { type CutRecord, cumulativeOnGrid, placesOnGrid } from './cut-record.ts';
import { type Comparing, interiorPoints, oppositePairs } from './opposite-pairs.ts';
import { bootstrap, lowest, type PairSquares, valleyOf } from './valley.ts';

export interface MoistureLagSolution {
  /** From cutting to the reading, s. */
  readonly shift_s: number;
  readonly shift_se_s: number;
  readonly pairs: number;
}

/** From logs that were shifted before to the slowest chamber, s. */
const SHIFT_MIN_S = -15;
const SHIFT_MAX_S = 75;
const SHIFT_STEP_S = 1;
/** Readings are smoothed over a far longer time; a whole number of these makes a shift. */
const GRID_STEP_S = 0.5;
/** At the start of a pass the chamber still holds the grain of the pass before. */
const COMPARED: Comparing = { most_points: 1200, start_margin_s: 35, end_margin_s: 5 };
const MIN_PAIRS = 100;
/** A lag less certain than this is no better than that of the grain, whose difference is some 5 to 15 s. Ours. */
const MOST_SE_S = 3;
/** What resampling passes cannot see, s: the tail of the chamber's own mixing is not even (root mean square of 30 simulated seasons). */
const UNSEEN_SE_S = 0.8;
/** Readings further from their median than so many robust deviations, and this many points, are faults and must not speak. */
const DEVIATIONS = 4;
const LEAST_REACH_PCT = 1;
/** Opposite passes that agree no better than half as well as strangers do not agree. */
const AGREED = 0.5;
/** The valley must lie below this share of the curve's highest point. */
const DEEP_SHARE = 0.8;

/** `moisture` smoothed, as it is read for the points. Undefined where the field cannot tell. */
export function estimateMoistureLag(
  record: CutRecord,
  pass: Int32Array,
  moisture: MoistureRecord,
): MoistureLagSolution | undefined {
  if (moisture.t_s.length < MIN_PAIRS) return undefined;
  const pairs = oppositePairs(record, pass, interiorPoints(record, pass, COMPARED));
  if (pairs.length / 2 < MIN_PAIRS) return undefined;
  const count = Math.round((SHIFT_MAX_S - SHIFT_MIN_S) / SHIFT_STEP_S) + 1;
  const shifts_s = Float64Array.from({ length: count }, (_, k) => SHIFT_MIN_S + k * SHIFT_STEP_S);
  const squares = pairSquares(record, pairs, withoutFaults(moisture), shifts_s);
  const disagreement = squares.map(({ square, variance }) => mean(square) / (2 * variance));
  const best = lowest(disagreement);
  if (best === 0 || best === count - 1) return undefined;
  if (!(disagreement[best] < AGREED)) return undefined;
  if (!(disagreement[best] < DEEP_SHARE * Math.max(...disagreement))) return undefined;
  const shift_se_s = Math.hypot(bootstrap(squares, pairs, pass, shifts_s, best), UNSEEN_SE_S);
  if (!(shift_se_s <= MOST_SE_S)) return undefined;
  return { shift_s: valleyOf(shifts_s, disagreement, best), shift_se_s, pairs: pairs.length / 2 };
}

function withoutFaults({ t_s, moisture_pct }: MoistureRecord): MoistureRecord {
  const centre = median(moisture_pct);
  const reach = Math.max(LEAST_REACH_PCT, DEVIATIONS * scaledMad(moisture_pct, centre));
  const isSound = (pct: number) => Math.abs(pct - centre) <= reach;
  return { t_s: t_s.filter((_, k) => isSound(moisture_pct[k])), moisture_pct: moisture_pct.filter(isSound) };
}

/** For every shift: squared difference of each pair and the variance of the moistures that take part. */
function pairSquares(
  record: CutRecord,
  pairs: Int32Array,
  { t_s, moisture_pct }: MoistureRecord,
  shifts_s: Float64Array,
): PairSquares[] {
  const middle_s = record.t0_s.map((t0_s, row) => (t0_s + record.t1_s[row]) / 2);
  const first_s = middle_s[0] + shifts_s[0];
  const span_s = middle_s[middle_s.length - 1] + shifts_s[shifts_s.length - 1] - first_s;
  const count = Math.ceil(span_s / GRID_STEP_S) + 2;
  // on a grid, for pairs lead back and forth in time
  const readings = cumulativeOnGrid(t_s, moisture_pct, first_s, GRID_STEP_S, count, 'total');
  const { step, part } = placesOnGrid(pairs, middle_s, shifts_s[0], { t0_s: first_s, step_s: GRID_STEP_S });
  const seen = new Float64Array(pairs.length);
  return Array.from(shifts_s, (shift_s) => {
    const shift = Math.round((shift_s - shifts_s[0]) / GRID_STEP_S);
    for (let k = 0; k < seen.length; k++) {
      const i = step[k] + shift;
      seen[k] = readings[i] + (readings[i + 1] - readings[i]) * part[k];
    }
    const centre = mean(seen);
    let variance = 0;
    const square = new Float64Array(pairs.length / 2);
    for (let k = 0; k < square.length; k++) {
      const a = seen[2 * k] - centre;
      const b = seen[2 * k + 1] - centre;
      variance += a * a + b * b;
      square[k] = (a - b) * (a - b);
    }
    return { square, variance: variance / pairs.length };
  });
}
