/** Rows of several tables, each in time order, laid into each other: which table and which of its rows comes next. */

export interface TimeOrder {
  /** Table of each row, as numbered by the caller, … */
  readonly part: Int32Array;
  /** … and its row there. */
  readonly row: Int32Array;
}

/** Merges tables by the ascending times at which their rows start; of equal times the earlier table's row comes first. */
export function timeOrder(starts_s: readonly Float64Array[]): TimeOrder {
  const length = starts_s.reduce((sum, { length }) => sum + length, 0);
  const part = new Int32Array(length);
  const row = new Int32Array(length);
  const next = new Int32Array(starts_s.length);
  for (let k = 0; k < length; ) {
    const first = earliest(starts_s, next, -1);
    const other = earliest(starts_s, next, first);
    // rows of one table follow each other until another one's turn comes
    do {
      part[k] = first;
      row[k++] = next[first]++;
    } while (
      next[first] < starts_s[first].length &&
      (other < 0 || comesBefore(starts_s, next, first, other))
    );
  }
  return { part, row };
}

/** The table, other than `but`, whose next row is the earliest; −1 when none has one left. */
function earliest(starts_s: readonly Float64Array[], next: Int32Array, but: number): number {
  let best = -1;
  for (let p = 0; p < starts_s.length; p++) {
    if (p === but || next[p] >= starts_s[p].length) continue;
    if (best < 0 || comesBefore(starts_s, next, p, best)) best = p;
  }
  return best;
}

function comesBefore(starts_s: readonly Float64Array[], next: Int32Array, a: number, b: number): boolean {
  const a_s = starts_s[a][next[a]];
  const b_s = starts_s[b][next[b]];
  return a_s < b_s || (a_s === b_s && a < b);
}

/** One column of all tables in that order; that of a single table as it is. */
export function inTimeOrder(order: TimeOrder, columns: readonly Float64Array[]): Float64Array {
  return columns.length === 1 ? columns[0] : gathered(order, columns, new Float64Array(order.row.length));
}

/** The same into a column of another kind. */
export function gathered<Column extends Float64Array | Int32Array | Uint8Array>(
  { part, row }: TimeOrder,
  columns: readonly Column[],
  into: Column,
): Column {
  for (let k = 0; k < row.length; k++) into[k] = columns[part[k]][row[k]];
  return into;
}
