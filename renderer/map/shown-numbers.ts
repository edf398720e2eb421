/** The numbers that colour a map, in the units that they are shown in. */
import type { ShownQuantity } from './quantities.ts';
import { columnOf } from './quantities.ts';
import { differences, matchRows, sameRows } from './row-matching.ts';
import type { FieldColumns, MapQuantity } from './types.ts';

/** Displayed numbers of every row. */
export function shownNumbers(
  columns: FieldColumns,
  quantity: MapQuantity,
  shown: ShownQuantity,
): Float64Array {
  const column = columnOf(columns, quantity);
  const numbers = new Float64Array(column.length);
  for (let row = 0; row < numbers.length; row++) numbers[row] = column[row] * shown.per_si;
  return numbers;
}

/** Displayed differences after − before of every row of `after`. */
export function shownDifferences(
  before: FieldColumns,
  after: FieldColumns,
  quantity: MapQuantity,
  shown: ShownQuantity,
  rows?: 'same',
): Float64Array {
  const numbers = differences(
    columnOf(before, quantity),
    columnOf(after, quantity),
    rows === 'same' ? sameRows(before, after) : matchRows(before, after),
  );
  for (let row = 0; row < numbers.length; row++) numbers[row] *= shown.per_si;
  return numbers;
}

/** The numbers of kept rows; NaN in the others. */
export function keptOnly(numbers: Float64Array, screened_by: Uint8Array): Float64Array {
  const kept = numbers.slice();
  for (let row = 0; row < kept.length; row++) if (screened_by[row] !== 0) kept[row] = Number.NaN;
  return kept;
}
