/** Whether 9/10/2026 is in September or October: the order of day, month and year, from all dates of a column. */
import { type DateOrder, daysFromDateText } from '../read/date-text.ts';
import { shownText } from '../shown-text.ts';

/** Where a log was written, roughly; NaN where unknown. */
export interface Place {
  readonly longitude_deg: number;
  readonly latitude_deg: number;
}

export interface DateOrderGuess {
  readonly order: DateOrder;
  readonly confidence: number;
  /** Completes "dates such as …, ". */
  readonly reason: string;
  readonly doubt?: string;
}

/** Dates must be read so often for an order to be possible. */
const READ_SHARE = 0.9;
/** A harvest log reaches over less than this; the wrong order scatters days over the year. */
const HARVEST_DAYS = 120;

const ORDER_WORDS: Readonly<Record<DateOrder, string>> = {
  ymd: 'year first',
  mdy: 'month first',
  dmy: 'day first',
};

/**
 * The only order in which all dates exist; else the one in which they lie closer together (a log is written on days that
 * follow each other); else the custom of the place. Undefined when the cells are no dates.
 */
export function dateOrderOf(cells: readonly string[], place: Place): DateOrderGuess | undefined {
  const dates = [...new Set(cells.filter((cell) => cell !== ''))];
  if (dates.length === 0) return undefined;
  const possible = (['ymd', 'mdy', 'dmy'] as const)
    .map((order) => ({ order, days: dates.map((date) => daysFromDateText(date, order)) }))
    .filter(({ days }) => days.filter((day) => !Number.isNaN(day)).length >= READ_SHARE * dates.length)
    // 26-09-14 is a date in other orders, too, but not of this time
    .filter(({ days }) => days.every((day) => Number.isNaN(day) || (day > 7000 && day < 40_000)));
  if (possible.length === 0) return undefined;
  const yearFirst = possible.find(({ order }) => order === 'ymd');
  if (yearFirst !== undefined && /^\d{4}/.test(dates[0])) return sure('ymd');
  if (possible.length === 1) return sure(possible[0].order);
  const spans = possible.map(({ order, days }) => ({ order, span_days: spanOf(days) }));
  spans.sort((a, b) => a.span_days - b.span_days);
  const [near, far] = spans;
  if (near.span_days + 14 < far.span_days && near.span_days < HARVEST_DAYS) {
    return {
      order: near.order,
      confidence: 0.9,
      reason: `${ORDER_WORDS[near.order]}, so that the days lie together`,
    };
  }
  const custom = customOf(place);
  const order = possible.some((one) => one.order === custom) ? custom : spans[0].order;
  return {
    order,
    confidence: 0.75,
    reason: `${ORDER_WORDS[order]}, as is the custom there`,
    doubt: `the date "${shownText(dates[0])}" was read with the ${order === 'mdy' ? 'month' : order === 'dmy' ? 'day' : 'year'} first`,
  };
}

function sure(order: DateOrder): DateOrderGuess {
  return { order, confidence: 1, reason: ORDER_WORDS[order] };
}

function spanOf(days: readonly number[]): number {
  const known = days.filter((day) => !Number.isNaN(day));
  return Math.max(...known) - Math.min(...known);
}

/** The United States write the month first (from memory); most others the day. */
function customOf({ longitude_deg, latitude_deg }: Place): DateOrder {
  return longitude_deg > -170 && longitude_deg < -60 && latitude_deg > 24 ? 'mdy' : 'dmy';
}
