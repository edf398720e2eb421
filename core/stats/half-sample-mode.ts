import { sortedFinite } from './quantiles.ts';

/**
 * Half-sample mode: a robust mode of continuous data. Keep halving to the densest half until at most three elements
 * are left [RobertsonCryer1974; BickelFruhwirth2006]. Of equally narrow halves (rounded data have many) the middle
 * one is kept.
 *
 * NaN is left out; NaN when empty; the mean of two; of three, the mean of the closer two (the middle one when equal).
 * Breakdown point one half; noisy on small samples, so ask for a few dozen.
 */
export function halfSampleMode(column: ArrayLike<number>): number {
  const sorted = sortedFinite(column);
  let from = 0;
  let length = sorted.length;
  while (length > 3) {
    const half = Math.ceil(length / 2);
    from = densestWindow(sorted, from, length, half);
    length = half;
  }
  if (length === 0) return Number.NaN;
  if (length === 1) return sorted[from];
  if (length === 2) return (sorted[from] + sorted[from + 1]) / 2;
  const left = sorted[from + 1] - sorted[from];
  const right = sorted[from + 2] - sorted[from + 1];
  if (left === right) return sorted[from + 1];
  return left < right ? (sorted[from] + sorted[from + 1]) / 2 : (sorted[from + 1] + sorted[from + 2]) / 2;
}

/** Start of the narrowest run of `size` elements in `from .. from + length`; of several such, the middle one. */
function densestWindow(sorted: Float64Array, from: number, length: number, size: number): number {
  const end = from + length - size;
  let narrowest = Number.POSITIVE_INFINITY;
  let ties = 0;
  for (let i = from; i <= end; i++) {
    const width = sorted[i + size - 1] - sorted[i];
    if (width < narrowest) {
      narrowest = width;
      ties = 0;
    }
    if (width === narrowest) ties++;
  }
  let remaining = (ties - 1) >>> 1;
  for (let i = from; i < end; i++) {
    if (sorted[i + size - 1] - sorted[i] === narrowest && remaining-- === 0) return i;
  }
  return end;
}
