/**
 * How fast a counter drifts that was laid on the clock by its pattern of work: the offset is found again in each half hour,
 * and a line laid through the offsets.
 */
import { MAD_TO_SD, median } from '../stats/quantiles.ts';

/** The best offset of one piece of the pattern. */
export interface PieceOffset {
  /** Middle of the piece on the counter, s. */
  readonly at_s: number;
  readonly offset_s: number;
}

export interface DriftSolution {
  /** Seconds that the clock gains on the counter, per second; 0 when not significant. */
  readonly drift: number;
  /** Counter time about which it turns, s; the offset there. */
  readonly at_s: number;
  readonly offset_s: number;
  /** Standard error of the offset at the ends of the pattern that the drift leaves, s; ∞ when too little overlaps to tell. */
  readonly end_se_s: number;
}

/** Fewer pieces, or a shorter stretch between the first and the last, say nothing of drift. A choice of ours. */
const FEWEST_PIECES = 6;
const SHORTEST_S = 2 * 3600;
/** Drift is corrected when it is so many standard errors. */
const SIGNIFICANT = 3;
/** Offsets of single pieces are no better than this, s. */
const LEAST_SE_S = 0.3;
/** No oscillator drifts faster: ceramic resonators reach 5000 ppm. */
const MOST_DRIFT = 0.005;

/** Slope by the median of all pairs [Theil 1950, Sen 1968]; level by the median. `offset_s` is that of the whole pattern. */
export function driftOfPieces(pieces: readonly PieceOffset[], offset_s: number): DriftSolution {
  const none = { drift: 0, at_s: 0, offset_s, end_se_s: Number.POSITIVE_INFINITY };
  if (pieces.length < FEWEST_PIECES) return none;
  const times_s = Float64Array.from(pieces, ({ at_s }) => at_s);
  const [first_s, last_s] = [Math.min(...times_s), Math.max(...times_s)];
  if (last_s - first_s < SHORTEST_S) return none;
  const slopes: number[] = [];
  for (let i = 0; i < pieces.length; i++) {
    for (let j = i + 1; j < pieces.length; j++)
      slopes.push((pieces[j].offset_s - pieces[i].offset_s) / (pieces[j].at_s - pieces[i].at_s));
  }
  const drift = median(Float64Array.from(slopes));
  const at_s = (first_s + last_s) / 2;
  const level_s = median(Float64Array.from(pieces, (one) => one.offset_s - drift * (one.at_s - at_s)));
  const residual_s = Float64Array.from(pieces, (one) =>
    Math.abs(one.offset_s - level_s - drift * (one.at_s - at_s)),
  );
  const se_s = Math.max(LEAST_SE_S, MAD_TO_SD * median(residual_s));
  const spread_s = Math.sqrt(times_s.reduce((sum, t) => sum + (t - at_s) ** 2, 0));
  const drift_se = se_s / spread_s;
  const end_se_s = (drift_se * (last_s - first_s)) / 2;
  if (Math.abs(drift) < SIGNIFICANT * drift_se || Math.abs(drift) > MOST_DRIFT) return { ...none, end_se_s };
  return { drift, at_s, offset_s: level_s, end_se_s };
}
