/** Dates and clock times as tables write them, beyond ISO 8601. */
import { daysFromCivil, secondsFromClock } from './utc.ts';

/** Order of year, month and day. */
export type DateOrder = 'ymd' | 'mdy' | 'dmy';

/**
 * Days since 1970-01-01 from `2026-09-14`, `9/14/2026`, `14.09.26`, `20260914` or `140926` (order as said); years of
 * two digits are 2000–2079 and 1980–1999. NaN when it is no such date.
 */
export function daysFromDateText(text: string, order: DateOrder): number {
  const parts = /^(\d+)[-/.](\d+)[-/.](\d+)$/.exec(text) ?? PACKED[order].exec(text);
  if (!parts) return Number.NaN;
  const [year, month, day] = ['y', 'm', 'd'].map((unit) => parts[order.indexOf(unit) + 1]);
  const written = Number(year);
  const full = year.length > 2 ? written : written + (written < 80 ? 2000 : 1900);
  return daysFromCivil(full, Number(month), Number(day));
}

const PACKED: Readonly<Record<DateOrder, RegExp>> = {
  ymd: /^(\d{4}|\d{2})(\d{2})(\d{2})$/,
  mdy: /^(\d{2})(\d{2})(\d{4}|\d{2})$/,
  dmy: /^(\d{2})(\d{2})(\d{4}|\d{2})$/,
};

/** Seconds since midnight from `14:05`, `14:05:30.25`, `2:05 PM` or `140530.25`; NaN when it is no such time. */
export function secondsFromClockText(text: string): number {
  const parts = /^(\d{1,2}):(\d{2})(?::(\d{2}(?:[.,]\d+)?))?\s*([AaPp][Mm])?$/.exec(text);
  const packed = parts ? undefined : /^(\d{2})(\d{2})(\d{2}(?:[.,]\d+)?)$/.exec(text);
  const found = parts ?? packed;
  if (!found) return Number.NaN;
  const half = found[4]?.toLowerCase();
  const written = Number(found[1]);
  if (half && (written < 1 || written > 12)) return Number.NaN;
  const hour = half ? (written % 12) + (half === 'pm' ? 12 : 0) : written;
  return secondsFromClock(hour, Number(found[2]), Number((found[3] ?? '0').replace(',', '.')));
}
