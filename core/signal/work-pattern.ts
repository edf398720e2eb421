/** When a machine worked, as far as its fixes alone can say: it drove, and it drove straight on. */
import type { TimedFixes } from '../track/track.ts';

/** Amounts at moments. */
export interface TimedAmounts {
  readonly t_s: Float64Array;
  readonly amount: Float64Array;
}

/** Slower than this is no work, m/s. */
const WORKING_M_S = 0.6;
/** Turning faster than this is a headland turn, degrees a second: 2 m/s on a curve of 30 m radius. Ours. */
const TURNING_DEG_S = 4;
/** Courses are compared over so much time, so that their noise does not look like turning … */
const TURN_OVER_S = 2;
/** … but not across a silence. */
const SILENCE_S = 5;

/**
 * Seconds of work up to each fix of known time and later than all before it; 0 for rest and turns and after a silence. A
 * receiver that reports no course is judged by its speed alone; one that reports no speed never works.
 */
export function workOfFixes(fixes: TimedFixes): TimedAmounts {
  const { speed_m_s, course_deg } = fixes;
  const t_s = new Float64Array(fixes.t_s.length);
  const amount = new Float64Array(t_s.length);
  const row = new Int32Array(t_s.length);
  let n = 0;
  let back = 0;
  for (let i = 0; i < fixes.t_s.length; i++) {
    const step_s = n > 0 ? fixes.t_s[i] - t_s[n - 1] : 0;
    if (!(step_s > 0) && (n > 0 || Number.isNaN(fixes.t_s[i]))) continue;
    t_s[n] = fixes.t_s[i];
    row[n] = i;
    while (back + 1 < n && t_s[n] - t_s[back + 1] >= TURN_OVER_S) back++;
    const over_s = t_s[n] - t_s[back];
    const turn_deg = Math.abs(shortWay(course_deg[i] - course_deg[row[back]]));
    const turns = over_s <= SILENCE_S && turn_deg > TURNING_DEG_S * over_s;
    amount[n] = speed_m_s[i] > WORKING_M_S && !turns && step_s <= SILENCE_S ? step_s : 0;
    n++;
  }
  return { t_s: t_s.slice(0, n), amount: amount.slice(0, n) };
}

/** −180..180; NaN stays NaN. */
function shortWay(difference_deg: number): number {
  return difference_deg - 360 * Math.round(difference_deg / 360);
}
