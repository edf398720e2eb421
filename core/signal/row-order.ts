/**
 * Rows of several logs of one machine in the order of time. Logs are often kept by field, so that one of them goes on
 * where another has paused: they are laid into each other pause by pause. Within a stretch without a pause the order of
 * the file stands, whatever its clock says.
 */
import { compareTimes } from './joined-fixes.ts';

/** A log that says nothing for longer than this may have another one's rows in between, s. */
const PAUSE_S = 600;
/** A row that is later by more than this than most of the rows that follow it has a wrong time, s … */
const WILD_S = 60;
/** … that is, than most of so many. */
const ROWS_AHEAD = 11;

/** Rows of the parts laid end to end, reordered; each exactly once. NaN times stay with the row before. */
export function rowsInTime(parts: readonly Float64Array[]): Int32Array {
  const stretches: { start_s: number; first: number; last: number }[] = [];
  let offset = 0;
  for (const t_s of parts) {
    let latest_s = Number.NaN;
    for (let i = 0; i < t_s.length; i++) {
      const open = stretches[stretches.length - 1];
      if (i === 0 || t_s[i] - latest_s > PAUSE_S) {
        stretches.push({ start_s: t_s[i], first: offset + i, last: offset + i + 1 });
      } else {
        open.last = offset + i + 1;
        if (Number.isNaN(open.start_s)) open.start_s = t_s[i];
      }
      if (!Number.isNaN(t_s[i])) latest_s = t_s[i];
    }
    offset += t_s.length;
  }
  stretches.sort((a, b) => compareTimes(a.start_s, b.start_s));
  const rows = new Int32Array(offset);
  let k = 0;
  for (const { first, last } of stretches) for (let row = first; row < last; row++) rows[k++] = row;
  return rows;
}

/** Times with those that leap ahead for a few rows and come back (a glitch of the receiver) made NaN; a new column. */
export function withoutWildTimes(t_s: Float64Array): Float64Array {
  return t_s.map((time_s, i) => {
    const last = Math.min(t_s.length - 1, i + ROWS_AHEAD);
    let earlier = 0;
    for (let k = i + 1; k <= last; k++) if (time_s - t_s[k] > WILD_S) earlier++;
    return 2 * earlier > last - i ? Number.NaN : time_s;
  });
}
