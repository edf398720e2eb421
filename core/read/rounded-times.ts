/**
 * Times that were written as days with five decimals (a step of 0.864 s): a steady record a second then reads as 0.864,
 * 0.864, 1.728 s … and every speed and flow that is reckoned by it jumps by half. The steady pace is put back.
 */

/** Steps of days with four, five and six decimals, s. */
const STEPS_S = [8.64, 0.864, 0.0864];
/** Differences are whole steps to this share of one: a double holds Unix seconds to 2e-7. */
const WHOLE_STEP = 1e-3;
/** Share of all differences that are whole steps in a log that was written so. */
const NEARLY_ALL = 0.99;
/** Share of differences that are not the commonest one: below, records are as steady as they say. */
const UNSTEADY = 0.02;
/** A pause of more than so many steps ends a steady run. */
const PAUSE_STEPS = 4;
/** Fewer rows do not tell their pace. */
const LEAST_ROWS = 6;
/** A time that was rounded lies within half a step of the true one; the line through many is that good too. */
const REACH_STEPS = 0.6;

/** The times with rounding undone where they are seen to be rounded so; else the same column. */
export function withoutRounding(utc_s: Float64Array): Float64Array {
  const step_s = STEPS_S.find((step) => isRoundedTo(utc_s, step));
  if (step_s === undefined) return utc_s;
  const even_s = utc_s.slice();
  let first = 0;
  for (let i = 1; i <= utc_s.length; i++) {
    const dt_s = i < utc_s.length ? utc_s[i] - utc_s[i - 1] : Number.NaN;
    if (dt_s >= 0 && dt_s < PAUSE_STEPS * step_s) continue;
    makeEven(even_s, first, i, step_s);
    first = i;
  }
  return even_s;
}

function isRoundedTo(utc_s: Float64Array, step_s: number): boolean {
  const counts = new Map<number, number>();
  let whole = 0;
  for (let i = 1; i < utc_s.length; i++) {
    const steps = (utc_s[i] - utc_s[i - 1]) / step_s;
    const nearest = Math.round(steps);
    if (Math.abs(steps - nearest) > WHOLE_STEP) continue;
    whole++;
    counts.set(nearest, (counts.get(nearest) ?? 0) + 1);
  }
  const differences = utc_s.length - 1;
  const commonest = Math.max(0, ...counts.values());
  // steps of 0.0864 s are also whole ones of 0.864 s, which are tried before them
  return (
    differences >= LEAST_ROWS &&
    whole >= NEARLY_ALL * differences &&
    differences - commonest > UNSTEADY * differences
  );
}

/** Rows first … end − 1 onto the least-squares line of time on row, in halves where one line does not reach all. */
function makeEven(t_s: Float64Array, first: number, end: number, step_s: number): void {
  const n = end - first;
  if (n < LEAST_ROWS) return;
  const middle = (n - 1) / 2;
  let sum_s = 0;
  let product = 0;
  for (let k = 0; k < n; k++) {
    const since_s = t_s[first + k] - t_s[first];
    sum_s += since_s;
    product += (k - middle) * since_s;
  }
  const pace_s = (12 * product) / (n * (n * n - 1));
  const at = (k: number) => sum_s / n + pace_s * (k - middle);
  for (let k = 0; k < n; k++) {
    if (Math.abs(t_s[first + k] - t_s[first] - at(k)) <= REACH_STEPS * step_s) continue;
    const half = first + (n >> 1);
    makeEven(t_s, first, half, step_s);
    makeEven(t_s, half, end, step_s);
    return;
  }
  const start_s = t_s[first];
  for (let k = 0; k < n; k++) t_s[first + k] = start_s + at(k);
}
