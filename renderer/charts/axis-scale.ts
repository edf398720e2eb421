/** From the numbers of an axis to pixels. */

export interface AxisScale {
  readonly low: number;
  readonly high: number;
  readonly of: (number: number) => number;
}

/** Scale from numbers to pixels; `from` may be below `to` or above it. */
export function axisScale(low: number, high: number, from: number, to: number): AxisScale {
  if (!(high > low)) throw new RangeError(`an axis from ${low} to ${high} has no length`);
  return { low, high, of: (number) => from + ((number - low) / (high - low)) * (to - from) };
}
