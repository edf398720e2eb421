/**
 * A clock for a beam file whose fixes share no counter with it: the pattern of work and rest is laid over itself. The beam
 * says when grain came, the fixes say when the machine drove; the offset at which the two agree best is found to a few
 * seconds. The transport lag cannot be told from what is left of the offset, so a nominal one is assumed here and the lag
 * stage corrects the sum of both.
 */

import { mean } from '../stats/moments.ts';
import type { TimedFixes } from '../track/track.ts';

export interface ClockMatch {
  /** Season time of counter zero, s. */
  readonly zero_s: number;
  /** Correlation of the two patterns at the offset found, 0..1. */
  readonly agreement: number;
}

/** Grain is taken to arrive so long after the crop was cut: transport and mixing of a middling machine (published: 8–14 s [Beal & Tian 2001]). */
const NOMINAL_DELAY_S = 14;
const COARSE_S = 4;
const FINE_S = 1;
/** Faster than this is work, m/s. */
const WORKING_M_S = 0.6;
/** Patterns that agree less than this do not belong together. */
const MIN_AGREEMENT = 0.5;

/**
 * `grain` holds counter times (s) and amounts of single paddles. Undefined when the patterns do not agree anywhere.
 */
export function matchClock(
  grain: { readonly counter_s: Float64Array; readonly amount: Float64Array },
  fixes: TimedFixes,
): ClockMatch | undefined {
  if (grain.counter_s.length < 100 || fixes.t_s.length < 100) return undefined;
  const coarse = bestOffset(grain, fixes, COARSE_S, undefined);
  const fine = bestOffset(grain, fixes, FINE_S, coarse.offset_s);
  if (fine.agreement < MIN_AGREEMENT) return undefined;
  return { zero_s: fine.offset_s + NOMINAL_DELAY_S, agreement: fine.agreement };
}

/** Offset (season time of counter zero, grain's arrival taken as its cutting) with the highest correlation. */
function bestOffset(
  grain: { readonly counter_s: Float64Array; readonly amount: Float64Array },
  fixes: TimedFixes,
  step_s: number,
  near_s: number | undefined,
) {
  const first_s = grain.counter_s[0];
  const flow = binned(grain.counter_s, grain.amount, first_s, step_s);
  const drive = binned(
    fixes.t_s,
    Float64Array.from(fixes.speed_m_s, (v) => (v > WORKING_M_S ? 1 : 0)),
    fixes.t_s[0],
    step_s,
  );
  const start_s = fixes.t_s[0] - first_s;
  const span = near_s === undefined ? flow.length + drive.length : Math.ceil((3 * COARSE_S) / step_s);
  const centre = near_s === undefined ? 0 : Math.round((near_s - start_s) / step_s);
  let best = { offset_s: start_s, agreement: -1 };
  for (let shift = centre - span; shift <= centre + span; shift++) {
    const agreement = correlation(flow, drive, shift);
    if (agreement > best.agreement) best = { offset_s: start_s + shift * step_s, agreement };
  }
  return best;
}

function binned(t_s: Float64Array, amount: Float64Array, first_s: number, step_s: number): Float64Array {
  const count = Math.ceil((t_s[t_s.length - 1] - first_s) / step_s) + 1;
  const bins = new Float64Array(Math.max(1, count));
  for (let i = 0; i < t_s.length; i++) {
    const bin = Math.floor((t_s[i] - first_s) / step_s);
    if (bin >= 0 && bin < bins.length && !Number.isNaN(amount[i])) bins[bin] += amount[i];
  }
  return bins;
}

/** Correlation of flow[i] with drive[i + shift] over the longer of the two patterns, what does not overlap counting as rest. */
function correlation(flow: Float64Array, drive: Float64Array, shift: number): number {
  const flowMean = mean(flow);
  const driveMean = mean(drive);
  let both = 0;
  for (let i = Math.max(0, -shift); i < Math.min(flow.length, drive.length - shift); i++) {
    both += (flow[i] - flowMean) * (drive[i + shift] - driveMean);
  }
  return both / Math.sqrt(squares(flow, flowMean) * squares(drive, driveMean));
}

function squares(column: Float64Array, centre: number): number {
  let sum = 0;
  for (const x of column) sum += (x - centre) ** 2;
  return sum;
}
