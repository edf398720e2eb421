/** Which fixes of a log can stand in a track: a place, a quality that is not "none", and a time after the one before. */
import type { FixCounts } from './fix-counts.ts';
import type { TimedFixes } from './track.ts';

/** Fixes closer together than this repeat a time: no receiver gives 200 a second. */
const LEAST_STEP_S = 0.005;

/** Rows of the fixes that are usable, in time order, and what was left out. */
export interface UsableFixes {
  readonly rows: Int32Array;
  readonly counts: Omit<FixCounts, 'replaced'>;
}

/**
 * Rows with a position, a time and a fix, thinned to the longest strictly ascending run of times: a leap of the
 * clock, forward or back, costs only the rows that leap.
 */
export function usableFixes(fixes: TimedFixes): UsableFixes {
  const located: number[] = [];
  for (let i = 0; i < fixes.t_s.length; i++) if (isLocated(fixes, i)) located.push(i);
  const kept = spaced(fixes.t_s, longestAscending(fixes.t_s, located));
  return {
    rows: kept,
    counts: {
      fixes: fixes.t_s.length,
      unlocated: fixes.t_s.length - located.length,
      untimely: located.length - kept.length,
    },
  };
}

function isLocated(fixes: TimedFixes, i: number): boolean {
  const latitude = fixes.latitude_deg[i];
  const longitude = fixes.longitude_deg[i];
  return (
    Number.isFinite(fixes.t_s[i]) &&
    Math.abs(latitude) <= 89 &&
    Math.abs(longitude) <= 360 &&
    // receivers without a fix report 0, 0
    !(latitude === 0 && longitude === 0) &&
    fixes.quality[i] !== 0
  );
}

/** Without the rows that follow a kept one by less than `LEAST_STEP_S`. */
function spaced(t_s: Float64Array, rows: Int32Array): Int32Array {
  let before_s = Number.NEGATIVE_INFINITY;
  return rows.filter((row) => {
    const keeps = t_s[row] - before_s >= LEAST_STEP_S;
    if (keeps) before_s = t_s[row];
    return keeps;
  });
}

/** Longest strictly ascending subsequence of `t_s` over `rows` (patience sorting), the earliest rows where equal. */
function longestAscending(t_s: Float64Array, rows: readonly number[]): Int32Array {
  const tails: number[] = [];
  const before = new Int32Array(rows.length).fill(-1);
  for (let k = 0; k < rows.length; k++) {
    const t = t_s[rows[k]];
    let low = 0;
    let high = tails.length;
    // the ordinary case: later than everything before
    if (high === 0 || t_s[rows[tails[high - 1]]] < t) low = high;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (t_s[rows[tails[middle]]] < t) low = middle + 1;
      else high = middle;
    }
    before[k] = low > 0 ? tails[low - 1] : -1;
    // an equal time does not displace the row that came first
    if (low === tails.length) tails.push(k);
    else if (t < t_s[rows[tails[low]]]) tails[low] = k;
  }
  const kept = new Int32Array(tails.length);
  for (let at = tails.length - 1, k = tails[at] ?? -1; at >= 0; at--, k = before[k]) kept[at] = rows[k];
  return kept;
}
