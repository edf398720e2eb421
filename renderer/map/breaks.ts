/** Class limits for a map and its legend. */
import { roundStep } from '../../core/export/report/colour-classes.ts';
import { naturalBreaks } from '../../core/stats/natural-breaks.ts';
import { BinnedOrder } from './binned-order.ts';
import type { ClassChoice, ClassMethod } from './types.ts';

export interface Breaks {
  readonly method: ClassMethod;
  /** Inner limits, ascending: class i lies from limit i−1 up to below limit i; the outer two are open. */
  readonly limits: readonly number[];
  /** Ends of what the colours are spread over; beyond them the end colours go on. */
  readonly low: number;
  readonly high: number;
}

export const CLASS_COUNT = { least: 2, most: 12, usual: 7 };
/** Share of the numbers left beyond each end of the colours, lest a few extremes take all of them. */
const BEYOND_SHARE = 0.02;
/** As in the report: round classes spread over the middle 94 %. */
const ROUND_BEYOND_SHARE = 0.03;
/** Natural breaks are sought in this many numbers, taken evenly through the order of size. */
const NATURAL_SAMPLE = 1200;
/** Limits of standard-deviation classes, in standard deviations from the mean. */
const DEVIATIONS = [-2.5, -1.5, -0.5, 0.5, 1.5, 2.5];

/** Limits of sequential classes; NaN is left out. With fewer than two different numbers there is one class. */
export function breaksOf(column: Float64Array, choice: ClassChoice): Breaks {
  const order = new BinnedOrder(column);
  if (!(order.greatest > order.least)) return { method: choice.method, limits: [], ...pointSpan(order) };
  const low = order.quantile(BEYOND_SHARE);
  const high = order.quantile(1 - BEYOND_SHARE);
  const span = high > low ? { low, high } : { low: order.least, high: order.greatest };
  const limits = ascending(limitsBy[choice.method](order, span, countOf(choice), column, choice));
  return { method: choice.method, limits, ...wideEnough(span, limits) };
}

/** Limits about zero, for differences: the middle class has zero in its middle. */
export function breaksAboutZero(column: Float64Array, choice: ClassChoice): Breaks {
  const order = new BinnedOrder(column.map(Math.abs));
  const reach = order.count > 0 ? order.quantile(1 - BEYOND_SHARE) || order.greatest : 0;
  if (!(reach > 0)) return { method: choice.method, limits: [], low: -1, high: 1 };
  if (choice.method === 'continuous') return { method: 'continuous', limits: [], low: -reach, high: reach };
  const step = roundStep(reach / 4);
  const limits = [-3.5, -2.5, -1.5, -0.5, 0.5, 1.5, 2.5, 3.5].map((steps) => steps * step);
  return { method: 'round', limits, low: -4.5 * step, high: 4.5 * step };
}

/** The class of a number by `limits`: 0 … number of limits; −1 for NaN. */
export function classIndex(limits: readonly number[], number: number): number {
  if (Number.isNaN(number)) return -1;
  let low = 0;
  let high = limits.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (number >= limits[middle]) low = middle + 1;
    else high = middle;
  }
  return low;
}

interface Span {
  readonly low: number;
  readonly high: number;
}

type Method = (
  order: BinnedOrder,
  span: Span,
  count: number,
  column: Float64Array,
  choice: ClassChoice,
) => number[];

const limitsBy: Readonly<Record<ClassMethod, Method>> = {
  continuous: () => [],
  equal: (_, { low, high }, count) => inner(count).map((i) => low + ((high - low) * i) / count),
  round: (order) => {
    const low = order.quantile(ROUND_BEYOND_SHARE);
    const high = order.quantile(1 - ROUND_BEYOND_SHARE);
    if (!(high > low)) return [];
    const step = roundStep((high - low) / 10);
    const first = Math.ceil(low / step);
    return Array.from({ length: Math.floor(high / step) - first + 1 }, (_, i) => (first + i) * step);
  },
  quantile: (order, _, count) => inner(count).map((i) => order.quantile(i / count)),
  standard_deviation: (order, _, _count, column) => {
    const { mean, sd } = momentsOf(column, order.count);
    return DEVIATIONS.map((times) => mean + times * sd).filter(
      (limit) => limit > order.least && limit < order.greatest,
    );
  },
  natural: (order, _, count) => {
    const size = Math.min(NATURAL_SAMPLE, order.count);
    const sample = Array.from({ length: size }, (_, i) =>
      order.at(Math.floor(((i + 0.5) / size) * order.count)),
    );
    return [...naturalBreaks(sample, count).limits];
  },
  given: (_order, _span, _count, _column, { limits_si = [] }) => [...limits_si],
};

/** Every limit is to be seen, also one that was given beyond the middle of the numbers. */
function wideEnough({ low, high }: Span, limits: readonly number[]): Span {
  return { low: Math.min(low, ...limits), high: Math.max(high, ...limits) };
}

function inner(count: number): number[] {
  return Array.from({ length: count - 1 }, (_, i) => i + 1);
}

function countOf({ count = CLASS_COUNT.usual }: ClassChoice): number {
  return Math.min(Math.max(Math.round(count), CLASS_COUNT.least), CLASS_COUNT.most);
}

function ascending(limits: readonly number[]): number[] {
  return limits.filter((limit, i) => i === 0 || limit > limits[i - 1]);
}

function pointSpan(order: BinnedOrder): Span {
  const middle = order.count > 0 ? order.least : 0;
  return { low: middle - 0.5, high: middle + 0.5 };
}

/** Mean and standard deviation (n − 1), the sum of squares about the mean. */
function momentsOf(column: Float64Array, count: number): { mean: number; sd: number } {
  let sum = 0;
  for (const number of column) if (Number.isFinite(number)) sum += number;
  const mean = sum / count;
  let squares = 0;
  for (const number of column) if (Number.isFinite(number)) squares += (number - mean) ** 2;
  return { mean, sd: Math.sqrt(squares / Math.max(count - 1, 1)) };
}
