/**
 * How far the flow that is credited to an interval can be from what was cut in it, because threshing smears the grain:
 * fresh area as the machine's own lag and mixing would show it, over fresh area itself, minus one. At the start of a pass
 * it is negative (filling), at the end it is what still runs out; inside, it answers changes of speed and of cut width.
 * For an even crop it *is* the relative error of the interval's yield.
 */
import { areaPerStep, type CutRecord } from './cut-record.ts';

const STEP_S = 0.25;

/**
 * One number an interval: (a ⊗ h)(t + τ) / a − 1 with h(u) = exp(−u/τ)/τ, averaged over the interval; NaN where nothing was
 * cut. `mixing_s` 0 gives zeros.
 */
export function responseMismatch(record: CutRecord, mixing_s: number): Float64Array {
  const n = record.t0_s.length;
  const mismatch = new Float64Array(n);
  if (n === 0) return mismatch;
  const t0_s = record.t0_s[0];
  const count = Math.ceil((record.t1_s[n - 1] + mixing_s + 1 - t0_s) / STEP_S) + 2;
  const area = areaPerStep(record, t0_s, STEP_S, count).samples;
  const total = new Float64Array(count + 1);
  const decay = mixing_s > 0 ? Math.exp(-STEP_S / mixing_s) : 0;
  const carried = mixing_s > 0 ? (mixing_s / STEP_S) * (1 - decay) : 0;
  let held = 0;
  for (let k = 0; k < count; k++) {
    total[k + 1] = total[k] + (1 - carried) * area[k] + carried * held;
    held = decay * held + (1 - decay) * area[k];
  }
  const totalAt = (t_s: number) => {
    const at = Math.min(count - 1e-9, Math.max(0, (t_s - t0_s) / STEP_S));
    const whole = Math.floor(at);
    return total[whole] + (total[whole + 1] - total[whole]) * (at - whole);
  };
  for (let i = 0; i < n; i++) {
    const seen_m2 = totalAt(record.t1_s[i] + mixing_s) - totalAt(record.t0_s[i] + mixing_s);
    mismatch[i] = record.fresh_area_m2[i] > 0 ? seen_m2 / record.fresh_area_m2[i] - 1 : Number.NaN;
  }
  return mismatch;
}
