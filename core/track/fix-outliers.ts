/** Fixes that the machine cannot have been at: first by looking ahead, then by what comes before and after. */
import { type Measured, type MotionStates, predict, startAt, update } from './constant-velocity.ts';

/** Unrest allowed for while outliers are looked for: a hard turn. Ours. */
const RESTLESS_DENSITY = 0.3;
/** χ² with 2 degrees of freedom passes this once in 3 million. */
const OUTLIER_CHI2 = 30;
/** Smaller surprises are never called outliers, metres. */
const LEAST_OUTLIER_M = 0.3;
/** A fix that determines its own place to more than 98 % cannot be judged by the others. */
const LEAST_FREEDOM = 0.02;
/** Hopeless fixes for this long, and the new place is believed. */
const REACQUIRE_S = 5;

/**
 * Forward look with a restless machine: marks fixes that it cannot have reached as not used, and returns the first
 * rows of unbroken runs. After gaps, and when fixes stay hopeless for `REACQUIRE_S`, a new run begins; a run that
 * never found a second believable fix is handed to the next one as unbelieved.
 */
export function acceptPlausible(measured: Measured, states: MotionStates, gap_s: number): number[] {
  const { t_s, used } = measured;
  const n = t_s.length;
  const starts: number[] = [];
  let run = 0;
  let believed = 0;
  let lastBelieved = 0;
  for (let k = 0; k < n; k++) {
    const gap = k === 0 || t_s[k] - t_s[k - 1] > gap_s;
    const hopeless = !gap && t_s[k] - t_s[lastBelieved] > REACQUIRE_S;
    if (gap || hopeless) {
      // rows since the last believed fix are one consistent new place, or noise: let them speak again
      const from = gap ? k : lastBelieved + 1;
      if (hopeless && believed === 1 && t_s[from] - t_s[run] <= REACQUIRE_S) used.fill(0, run, from);
      else run = from;
      if (starts.at(-1) !== run) starts.push(run);
      used[from] = 1;
      startAt(measured, from, states);
      believed = 1;
      lastBelieved = from;
      k = from;
      continue;
    }
    predict(t_s[k] - t_s[k - 1], RESTLESS_DENSITY, states, k - 1, k);
    const surprise_m2 =
      (measured.east_m[k] - states.east_m[k]) ** 2 + (measured.north_m[k] - states.north_m[k]) ** 2;
    const expected_m2 = states.p11[k] + measured.position_variance_m2[k];
    used[k] = surprise_m2 > OUTLIER_CHI2 * expected_m2 && surprise_m2 > LEAST_OUTLIER_M ** 2 ? 0 : 1;
    update(measured, k, states);
    if (used[k]) {
      believed++;
      lastBelieved = k;
    }
  }
  starts.push(n);
  return starts;
}

/**
 * Marks as not used the fixes that the rest of their run, before and after, contradicts (leave-one-out residual). Where
 * that would be more than half of a run it is the smoother that is wrong, and all are kept.
 */
export function rejectContradicted(measured: Measured, states: MotionStates, runs: readonly number[]): void {
  const { used } = measured;
  for (let r = 0; r + 1 < runs.length; r++) {
    const contradicted: number[] = [];
    let believed = 0;
    for (let k = runs[r]; k < runs[r + 1]; k++) {
      if (!used[k]) continue;
      believed++;
      const isInner = k > runs[r] && k < runs[r + 1] - 1;
      if (isInner && isContradicted(measured, states, k)) contradicted.push(k);
    }
    if (2 * contradicted.length <= believed) for (const k of contradicted) used[k] = 0;
  }
}

function isContradicted(measured: Measured, states: MotionStates, k: number): boolean {
  const variance_m2 = measured.position_variance_m2[k];
  // residual = freedom × leave-one-out residual, whose variance is variance / freedom
  const freedom = 1 - states.p11[k] / variance_m2;
  if (freedom <= LEAST_FREEDOM) return false;
  const residual_m2 =
    (measured.east_m[k] - states.east_m[k]) ** 2 + (measured.north_m[k] - states.north_m[k]) ** 2;
  return residual_m2 > OUTLIER_CHI2 * variance_m2 * freedom && residual_m2 > (LEAST_OUTLIER_M * freedom) ** 2;
}
