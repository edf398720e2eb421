/**
 * How noisy a receiver is, found from its own track: labels and published accuracies speak of the error against the
 * truth, most of which drifts slowly; a smoother must know the part that changes from fix to fix.
 */
import { lengthOf } from '../columns.ts';
import { MAD_TO_SD, median } from '../stats/quantiles.ts';

/** What is expected of a fix before its log is seen, by quality indicator. */
export interface FixAccuracy {
  /** Changes from fix to fix, one axis, metres. */
  readonly white_m: number;
  /** Drifts over minutes and cannot be smoothed away, one axis, metres. */
  readonly slow_m: number;
}

/**
 * By NMEA quality: 1 single, 2 differential or satellite-augmented, 4 carrier-phase fixed, 5 carrier-phase float,
 * 6 estimated. Orders of magnitude of common practice, no source; the white part is replaced by what the log shows.
 */
const ACCURACIES: Readonly<Record<number, FixAccuracy>> = {
  1: { white_m: 0.3, slow_m: 0.5 },
  2: { white_m: 0.2, slow_m: 0.2 },
  3: { white_m: 0.3, slow_m: 0.4 },
  4: { white_m: 0.015, slow_m: 0.01 },
  5: { white_m: 0.1, slow_m: 0.1 },
  6: { white_m: 3, slow_m: 3 },
};
/** No or an unknown quality: as a differential fix, the commonest on harvesters. */
const UNKNOWN: FixAccuracy = { white_m: 0.2, slow_m: 0.2 };

/** Receivers and logs round positions to some millimetres at best. */
const LEAST_WHITE_M = 0.005;
/** Fewer clean quadruples than this say too little. */
const LEAST_QUADRUPLES = 40;
/** Rows from which the noise is judged; every so many where a log has more. */
const ENOUGH_ROWS = 50_000;
/** Slower than this is not known to be motion: receivers hold positions still when they stand. */
const MOVING_M_S = 0.4;
/** Noise that lasts this long is looked for where fixes come faster. */
const LASTING_S = 1.5;

export function accuracyOf(quality: number): FixAccuracy {
  return ACCURACIES[quality] ?? UNKNOWN;
}

/**
 * White standard deviation of a position on one axis for each quality indicator met, metres.
 *
 * Third differences of equally spaced fixes under way: Var(x₃−3x₂+3x₁−x₀) = 20σ², in which steady speed, steady
 * acceleration and the bend of a curve cancel; by the median, so that turns do not count. Where fixes come faster
 * than once in 1.5 s the same is done at that spacing, and noise that shows only there is charged to each fix in
 * proportion, so that the smoother leans on many fixes no more than they deserve.
 */
export function estimateWhiteNoise(
  t_s: Float64Array,
  east_m: Float64Array,
  north_m: Float64Array,
  quality: Float64Array,
): ReadonlyMap<number, number> {
  const whites = new Map<number, number>();
  const spacing_s = medianStep(t_s);
  for (const label of new Set(quality)) {
    const fast = thirdDifferenceVariance(t_s, east_m, north_m, quality, label, 1);
    if (Number.isNaN(fast)) {
      whites.set(label, accuracyOf(label).white_m);
      continue;
    }
    const stride = Math.round(LASTING_S / spacing_s);
    const lasting =
      stride >= 2 ? thirdDifferenceVariance(t_s, east_m, north_m, quality, label, stride) : Number.NaN;
    const excess = Number.isNaN(lasting) ? 0 : Math.max(0, lasting - fast) * stride;
    whites.set(label, Math.max(LEAST_WHITE_M, Math.sqrt(fast + excess)));
  }
  return whites;
}

function medianStep(t_s: Float64Array): number {
  const steps = new Float64Array(Math.max(0, t_s.length - 1));
  for (let i = 0; i < steps.length; i++) steps[i] = t_s[i + 1] - t_s[i];
  return median(steps);
}

/** σ² of one axis from third differences at a stride of rows; NaN when too few are clean. */
function thirdDifferenceVariance(
  t_s: Float64Array,
  east_m: Float64Array,
  north_m: Float64Array,
  quality: Float64Array,
  label: number,
  stride: number,
): number {
  const sizes: number[] = [];
  const step = Math.ceil(t_s.length / ENOUGH_ROWS);
  for (let i = 0; i + 3 * stride < t_s.length; i += step) {
    const j = i + stride;
    const k = j + stride;
    const l = k + stride;
    const step_s = t_s[j] - t_s[i];
    if (Math.abs(t_s[k] - t_s[j] - step_s) > 0.05 * step_s) continue;
    if (Math.abs(t_s[l] - t_s[k] - step_s) > 0.05 * step_s) continue;
    if (!Object.is(quality[i], label) || !Object.is(quality[j], label)) continue;
    if (!Object.is(quality[k], label) || !Object.is(quality[l], label)) continue;
    const travelled_m = lengthOf(east_m[l] - east_m[i], north_m[l] - north_m[i]);
    if (travelled_m < MOVING_M_S * 3 * step_s) continue;
    sizes.push(Math.abs(east_m[l] - 3 * east_m[k] + 3 * east_m[j] - east_m[i]));
    sizes.push(Math.abs(north_m[l] - 3 * north_m[k] + 3 * north_m[j] - north_m[i]));
  }
  if (sizes.length < 2 * LEAST_QUADRUPLES) return Number.NaN;
  return (MAD_TO_SD * median(sizes)) ** 2 / 20;
}
