/** Civil dates and clock times to Unix seconds, by arithmetic alone: no system clock, no locale, no time zone table. */

export const S_PER_DAY = 86_400;

/** Days from 1970-01-01 to 1899-12-30, day zero of spreadsheet serial dates. */
export const SERIAL_DAY_ZERO = -25_569;

/**
 * Days from 1970-01-01 to a date of the proleptic Gregorian calendar; NaN when there is no such date.
 * Counts years from 1 March, so that the leap day comes last (the usual algorithm; checked day by day in the tests).
 */
export function daysFromCivil(year: number, month: number, day: number): number {
  if (!(month >= 1 && month <= 12 && day >= 1 && day <= daysInMonth(year, month))) return Number.NaN;
  const y = month <= 2 ? year - 1 : year;
  const era = Math.floor(y / 400);
  const yearOfEra = y - era * 400;
  const dayOfYear = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + day - 1;
  const dayOfEra = yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear;
  return era * 146_097 + dayOfEra - 719_468;
}

function daysInMonth(year: number, month: number): number {
  if (month === 2) return (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0 ? 29 : 28;
  return month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31;
}

/** First and last second that ISO 8601 writes with four digits of the year, Unix s. */
const FIRST_MOMENT_S = -62_167_219_200;
const LAST_MOMENT_S = 253_402_300_799;

/** The moment itself, NaN when it lies outside the years 0 to 9999: no clock was ever set to it. */
export function momentOrNone(utc_s: number): number {
  return utc_s >= FIRST_MOMENT_S && utc_s <= LAST_MOMENT_S ? utc_s : Number.NaN;
}

/** A moment as written; `zoned` tells whether the text itself named its offset from UTC. */
export interface WrittenTime {
  /** Unix seconds, reading a time without an offset as UTC. */
  readonly utc_s: number;
  readonly zoned: boolean;
}

const ISO =
  /^(\d{4})-(\d\d)-(\d\d)(?:[T ](\d\d):(\d\d)(?::(\d\d)(?:[.,](\d+))?)?\s*(Z|z|[+-]\d\d(?::?\d\d)?)?)?$/;

/**
 * ISO 8601 date and time, extended form: `2026-09-14T13:05:00Z`, `… +02:00`, a space for the `T`, seconds and offset
 * optional, a date alone (midnight). `undefined` when it is anything else or no such moment exists.
 */
export function timeFromIso(text: string): WrittenTime | undefined {
  const parts = ISO.exec(text.trim());
  if (!parts) return undefined;
  const days = daysFromCivil(Number(parts[1]), Number(parts[2]), Number(parts[3]));
  const clock_s = secondsFromClock(
    Number(parts[4] ?? 0),
    Number(parts[5] ?? 0),
    Number(`${parts[6] ?? 0}.${parts[7] ?? 0}`),
  );
  const offset_s = parts[8] === undefined ? 0 : offsetFromText(parts[8]);
  const utc_s = days * S_PER_DAY + clock_s - offset_s;
  return Number.isNaN(utc_s) ? undefined : { utc_s, zoned: parts[8] !== undefined };
}

/** Seconds since midnight; second 60 is let pass (leap seconds); NaN when no such clock time exists. */
export function secondsFromClock(hour: number, minute: number, second: number): number {
  if (!(hour >= 0 && hour < 24 && minute >= 0 && minute < 60 && second >= 0 && second < 61)) {
    return Number.NaN;
  }
  return hour * 3600 + minute * 60 + second;
}

/** Offset from UTC in seconds, east positive: `Z`, `+02:00`, `-0530`, `+2`; NaN when it is none. */
export function offsetFromText(text: string): number {
  const trimmed = text.trim();
  if (trimmed === 'Z' || trimmed === 'z') return 0;
  const parts = /^([+-])(\d{1,2})(?::?(\d\d))?$/.exec(trimmed);
  if (!parts) return Number.NaN;
  const hours = Number(parts[2]);
  const minutes = Number(parts[3] ?? 0);
  if (hours > 14 || minutes > 59) return Number.NaN;
  return (parts[1] === '-' ? -1 : 1) * (hours * 3600 + minutes * 60);
}
