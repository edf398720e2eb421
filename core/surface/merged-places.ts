/** One measurement a place. */
import { type MeasuredPlaces, wholeRows } from './variogram.ts';

/**
 * Measurements at the very same place become one: their mean, each weighted by the inverse of its noise where all have one
 * (the noise of the mean is then `1/Σ1/s²`), else the plain mean with the mean noise over their number. Rows that hold a NaN
 * go. `rows` is the first row of each place that is left; rows stay in order.
 */
export function mergedPlaces(places: MeasuredPlaces): { places: MeasuredPlaces; rows: Int32Array } {
  const whole = wholeRows(places);
  const { east_m, north_m, measured, noise_variance } = places;
  if (whole.length === measured.length && !hasEqual(east_m)) return { rows: whole, places };
  const order = whole.slice().sort((a, b) => east_m[a] - east_m[b] || north_m[a] - north_m[b] || a - b);
  const merged: { row: number; measured: number; noise: number }[] = [];
  for (let from = 0; from < order.length; ) {
    let to = from + 1;
    while (to < order.length && isSamePlace(places, order[from], order[to])) to++;
    merged.push(meanOf(places, order.subarray(from, to)));
    from = to;
  }
  merged.sort((a, b) => a.row - b.row);
  const rows = Int32Array.from(merged, ({ row }) => row);
  return {
    rows,
    places: {
      east_m: Float64Array.from(rows, (row) => east_m[row]),
      north_m: Float64Array.from(rows, (row) => north_m[row]),
      measured: rows.length === measured.length ? measured : Float64Array.from(merged, (one) => one.measured),
      ...(noise_variance === undefined
        ? {}
        : { noise_variance: Float64Array.from(merged, ({ noise }) => noise) }),
    },
  };
}

/** Whether any number occurs twice: far quicker than to sort rows, and mostly all there is to do. */
function hasEqual(column: Float64Array): boolean {
  const sorted = column.toSorted();
  for (let k = 1; k < sorted.length; k++) if (sorted[k] === sorted[k - 1]) return true;
  return false;
}

function isSamePlace({ east_m, north_m }: MeasuredPlaces, a: number, b: number): boolean {
  return east_m[a] === east_m[b] && north_m[a] === north_m[b];
}

function meanOf({ measured, noise_variance }: MeasuredPlaces, rows: Int32Array) {
  const row = rows[0];
  if (rows.length === 1) return { row, measured: measured[row], noise: noise_variance?.[row] ?? 0 };
  const isKnown = noise_variance !== undefined && rows.every((one) => noise_variance[one] > 0);
  let [sum, weights, noise] = [0, 0, 0];
  for (const one of rows) {
    const weight = isKnown ? 1 / noise_variance[one] : 1;
    sum += weight * (measured[one] - measured[row]);
    weights += weight;
    noise += noise_variance?.[one] ?? 0;
  }
  return {
    row,
    measured: measured[row] + sum / weights,
    noise: isKnown ? 1 / weights : noise / rows.length ** 2,
  };
}
