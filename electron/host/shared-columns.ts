/**
 * Points that another thread may see without a copy: their columns lie in shared memory. What is handed over by transfer is
 * gone here, and with it what the memo keeps; what is cloned is copied twice for every change of a single number. A shared copy
 * is made once a column, and one that no change has touched is handed over again as it is.
 */
import type { ColumnArray } from '../../core/column-wire.ts';
import type { FieldPoints, SeasonResult } from '../../core/result.ts';

/** Shared copies of columns that still live. */
const sharedCopies = new WeakMap<ColumnArray, ColumnArray>();

/** The same result, the columns of its points in shared memory. Nobody may write to them. */
export function withSharedColumns(result: SeasonResult): SeasonResult {
  return { ...result, points: result.points.map(sharedPoints) };
}

function sharedPoints(points: FieldPoints): FieldPoints {
  const parts = Object.entries(points).map(([name, part]): [string, unknown] => [
    name,
    ArrayBuffer.isView(part) ? sharedCopy(part as ColumnArray) : part,
  ]);
  return Object.fromEntries(parts) as unknown as FieldPoints;
}

function sharedCopy(column: ColumnArray): ColumnArray {
  if (column.buffer instanceof SharedArrayBuffer) return column;
  const known = sharedCopies.get(column);
  if (known !== undefined) return known;
  const Kind = column.constructor as new (buffer: SharedArrayBuffer) => ColumnArray;
  const copy = new Kind(new SharedArrayBuffer(column.byteLength));
  copy.set(column);
  sharedCopies.set(column, copy);
  return copy;
}
