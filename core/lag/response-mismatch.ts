/**
 * How far the flow that is credited to an interval can be from what was cut in it, because threshing smears the grain:
 * fresh area as the machine's own lag and mixing would show it, over fresh area itself, minus one. At the start of a pass
 * it is negative (filling), at the end it is what still runs out; inside, it answers changes of speed and of cut width.
 * For an even crop it *is* the relative error of the interval's yield.
 */
import { areaPerStep, type CutRecord } from './cut-record.ts';
import { spellsBetweenRests } from './rests.ts';

const STEP_S = 0.25;

/**
 * One number an interval: (a ⊗ h)(t + τ) / a − 1 with h(u) = exp(−u/τ)/τ, averaged over the interval; NaN where nothing was
 * cut, 0 in intervals as long as a rest. `mixing_s` 0 gives zeros.
 */
export function responseMismatch(record: CutRecord, mixing_s: number): Float64Array {
  const mismatch = record.fresh_area_m2.map((area_m2) => (area_m2 > 0 ? 0 : Number.NaN));
  for (const { from, to } of spellsBetweenRests(record.t0_s, record.t1_s)) {
    mismatchOfSpell(
      record.t0_s.subarray(from, to),
      record.t1_s.subarray(from, to),
      record.fresh_area_m2.subarray(from, to),
      mixing_s,
      mismatch.subarray(from, to),
    );
  }
  return mismatch;
}

function mismatchOfSpell(
  t0_s: Float64Array,
  t1_s: Float64Array,
  fresh_area_m2: Float64Array,
  mixing_s: number,
  mismatch: Float64Array,
): void {
  const first_s = t0_s[0];
  const count = Math.ceil((t1_s[t1_s.length - 1] + mixing_s + 1 - first_s) / STEP_S) + 2;
  const area = areaPerStep({ t0_s, t1_s, fresh_area_m2 }, first_s, STEP_S, count).samples;
  const total = seenByEachStep(area, mixing_s);
  const totalAt = (t_s: number) => {
    const at = Math.min(count - 1e-9, Math.max(0, (t_s - first_s) / STEP_S));
    const whole = Math.floor(at);
    return total[whole] + (total[whole + 1] - total[whole]) * (at - whole);
  };
  for (let i = 0; i < mismatch.length; i++) {
    if (!(fresh_area_m2[i] > 0)) continue;
    mismatch[i] = (totalAt(t1_s[i] + mixing_s) - totalAt(t0_s[i] + mixing_s)) / fresh_area_m2[i] - 1;
  }
}

/** Running total of the area as the machine shows it, before each step and after the last. */
function seenByEachStep(area: Float64Array, mixing_s: number): Float64Array {
  const total = new Float64Array(area.length + 1);
  const decay = mixing_s > 0 ? Math.exp(-STEP_S / mixing_s) : 0;
  const carried = mixing_s > 0 ? (mixing_s / STEP_S) * (1 - decay) : 0;
  let held = 0;
  for (let k = 0; k < area.length; k++) {
    total[k + 1] = total[k] + (1 - carried) * area[k] + carried * held;
    held = decay * held + (1 - decay) * area[k];
  }
  return total;
}
