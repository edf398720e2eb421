/** Yield classes for map and histogram: round limits, viridis colours. */

/**
 * Ten equal steps of viridis, dark to light (van der Walt & Smith 2015, released as CC0). Even in lightness, readable
 * with every kind of colour vision and in grey.
 */
const VIRIDIS: readonly (readonly [number, number, number])[] = [
  [0x44, 0x01, 0x54],
  [0x48, 0x28, 0x78],
  [0x3e, 0x49, 0x89],
  [0x31, 0x68, 0x8e],
  [0x26, 0x82, 0x8e],
  [0x1f, 0x9e, 0x89],
  [0x35, 0xb7, 0x79],
  [0x6e, 0xce, 0x58],
  [0xb5, 0xde, 0x2b],
  [0xfd, 0xe7, 0x25],
];

/** Viridis at `share` 0 (dark) to 1 (light), as `#rrggbb`. */
export function viridis(share: number): string {
  const at = Math.min(Math.max(share, 0), 1) * (VIRIDIS.length - 1);
  const low = Math.min(Math.floor(at), VIRIDIS.length - 2);
  const mixed = VIRIDIS[low].map((from, channel) =>
    Math.round(from + (VIRIDIS[low + 1][channel] - from) * (at - low)),
  );
  return `#${mixed.map((channel) => channel.toString(16).padStart(2, '0')).join('')}`;
}

export interface Classes {
  /** Inner limits, ascending, in display units; class i lies between limit i−1 and limit i, the outer two are open. */
  readonly limits: readonly number[];
  readonly colours: readonly string[];
  /** Digits after the point that the limits need. */
  readonly digits: number;
}

/** Shares of the area left to the two open classes, so that a few extremes do not stretch all colours. */
const OPEN_SHARES = { low: 0.03, high: 0.97 };
/** Of the greater of two numbers: they differ by less where a computation ended differently. */
const LEAST_SPREAD = 1e-9;

/**
 * Classes of equal, round width (1, 2, 2.5 or 5 times a power of ten) over the middle 94 % of the area; 5 to 12 of
 * them, one where all are alike. `amounts` may hold NaN, which no class gets; `weights` are areas.
 */
export function roundClasses(amounts: Float64Array, weights: Float64Array): Classes {
  const low = weightedQuantile(amounts, weights, OPEN_SHARES.low);
  const high = weightedQuantile(amounts, weights, OPEN_SHARES.high);
  if (!areApart(low, high)) return { limits: [], colours: [viridis(0.5)], digits: 0 };
  const step = roundStep((high - low) / 10);
  const limits: number[] = [];
  for (let limit = Math.ceil(low / step); limit * step <= high; limit++) limits.push(limit * step);
  const colours = Array.from({ length: limits.length + 1 }, (_, index) => viridis(index / limits.length));
  return { limits, colours, digits: digitsOf(step) };
}

/** Whether round numbers lie between the two: not where they differ by the last digits of a computation, as in an even field. */
export function areApart(low: number, high: number): boolean {
  return high - low > LEAST_SPREAD * Math.max(Math.abs(low), Math.abs(high));
}

/** The class of `amount`: 0 … number of limits; −1 for NaN. */
export function classOf(classes: Classes, amount: number): number {
  if (Number.isNaN(amount)) return -1;
  let index = 0;
  while (index < classes.limits.length && amount >= classes.limits[index]) index++;
  return index;
}

/** The round number nearest above `rough` that is 1, 2, 2.5 or 5 times a power of ten. */
export function roundStep(rough: number): number {
  const power = 10 ** Math.floor(Math.log10(rough));
  const times = [1, 2, 2.5, 5, 10].find((factor) => factor * power >= rough * (1 - 1e-9)) ?? 10;
  return times * power;
}

function digitsOf(step: number): number {
  let digits = 0;
  while (digits < 6 && Math.abs(step * 10 ** digits - Math.round(step * 10 ** digits)) > 1e-6) digits++;
  return digits;
}

/** Smallest amount below or at which `share` of the weight lies; NaN when there is none. */
function weightedQuantile(amounts: Float64Array, weights: Float64Array, share: number): number {
  const rows = Array.from(amounts.keys()).filter((row) => Number.isFinite(amounts[row]) && weights[row] > 0);
  rows.sort((a, b) => amounts[a] - amounts[b]);
  let total = 0;
  for (const row of rows) total += weights[row];
  let below = 0;
  for (const row of rows) {
    below += weights[row];
    if (below >= share * total) return amounts[row];
  }
  return Number.NaN;
}
