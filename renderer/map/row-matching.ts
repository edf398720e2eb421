/** Finds for each row of one state of a field the row of another state that is the same interval of the same machine. */
import type { FieldColumns } from './types.ts';

/** Rows whose times differ by less are the same, s. Logs count in milliseconds at the finest. */
const SAME_TIME_S = 5e-4;

/** Row of `before` for each row of `after`, −1 where there is none; both in time order. */
export function matchRows(before: FieldColumns, after: FieldColumns): Int32Array {
  const matches = new Int32Array(after.t_s.length).fill(-1);
  let from = 0;
  for (let row = 0; row < matches.length; row++) {
    const t_s = after.t_s[row];
    while (from < before.t_s.length && before.t_s[from] < t_s - SAME_TIME_S) from++;
    for (let i = from; i < before.t_s.length && before.t_s[i] <= t_s + SAME_TIME_S; i++) {
      if (before.machine[i] !== after.machine[row]) continue;
      matches[row] = i;
      break;
    }
  }
  return matches;
}

/** Every row is the same one before; none is while one state, still being made ready, has more rows than the other. */
export function sameRows(before: FieldColumns, after: FieldColumns): Int32Array {
  const rows = after.t_s.length;
  if (before.t_s.length !== rows) return new Int32Array(rows).fill(-1);
  return Int32Array.from({ length: rows }, (_, row) => row);
}

/** after − before in every row; NaN where either is absent, or screened in the later state. */
export function differences(before: Float64Array, after: Float64Array, matches: Int32Array): Float64Array {
  const column = new Float64Array(after.length);
  for (let row = 0; row < column.length; row++)
    column[row] = matches[row] < 0 ? Number.NaN : after[row] - before[matches[row]];
  return column;
}
