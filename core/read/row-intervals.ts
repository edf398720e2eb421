/** How long each row of a log with time stamps stands for. */
import { median } from '../stats/quantiles.ts';

/** A step this many times the usual one is a pause of the log, not one long record. A choice of ours, no source. */
const PAUSE_STEPS = 3;

/**
 * Seconds that each row covers, rows ending at their times: the time since the row before. Rows of one time stamp (a
 * clock of whole seconds under a faster log) share the step to it equally. The first row, rows after a pause (more than
 * three usual steps) and after a backward step get the usual step, the median of all forward ones; NaN when there is none.
 */
export function intervalsFromTimes(utc_s: Float64Array): Float64Array {
  const n = utc_s.length;
  const starts: number[] = [];
  for (let i = 0; i < n; i++) if (i === 0 || utc_s[i] !== utc_s[i - 1]) starts.push(i);
  const steps_s = starts.map((start) => (start > 0 ? utc_s[start] - utc_s[start - 1] : Number.NaN));
  const usual_s = median(Float64Array.from(steps_s.filter((step_s) => step_s > 0)));
  const interval_s = new Float64Array(n);
  starts.forEach((start, k) => {
    const end = k + 1 < starts.length ? starts[k + 1] : n;
    const step_s = steps_s[k] > 0 && steps_s[k] <= PAUSE_STEPS * usual_s ? steps_s[k] : usual_s;
    interval_s.fill(step_s / (end - start), start, end);
  });
  return interval_s;
}
