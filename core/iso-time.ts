/** Moments as ISO 8601 text in UTC, by arithmetic alone: the same on every machine, whatever its time zone. */

const S_PER_DAY = 86_400;

/** `2026-10-03T14:05:07.250Z`, rounded to the millisecond; `null` for NaN. Proleptic Gregorian calendar. */
export function isoFromUnix(utc_s: number): string | null {
  if (!Number.isFinite(utc_s)) return null;
  const ms = Math.round(utc_s * 1000);
  const days = Math.floor(ms / (S_PER_DAY * 1000));
  const msOfDay = ms - days * S_PER_DAY * 1000;
  const s = Math.floor(msOfDay / 1000);
  const clock = [Math.floor(s / 3600), Math.floor(s / 60) % 60, s % 60]
    .map((part) => padded(part, 2))
    .join(':');
  return `${isoDate(days)}T${clock}.${padded(msOfDay % 1000, 3)}Z`;
}

/** `2026-10-03` from days since 1970-01-01: the inverse of `daysFromCivil` in `read/utc.ts`. */
export function isoDate(days: number): string {
  const shifted = days + 719_468;
  const era = Math.floor(shifted / 146_097);
  const dayOfEra = shifted - era * 146_097;
  const yearOfEra = Math.floor(
    (dayOfEra -
      Math.floor(dayOfEra / 1460) +
      Math.floor(dayOfEra / 36_524) -
      Math.floor(dayOfEra / 146_096)) /
      365,
  );
  const dayOfYear = dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100));
  const marchMonth = Math.floor((5 * dayOfYear + 2) / 153);
  const day = dayOfYear - Math.floor((153 * marchMonth + 2) / 5) + 1;
  const month = marchMonth < 10 ? marchMonth + 3 : marchMonth - 9;
  const year = yearOfEra + era * 400 + (month <= 2 ? 1 : 0);
  return `${padded(year, 4)}-${padded(month, 2)}-${padded(day, 2)}`;
}

function padded(whole: number, width: number): string {
  return String(whole).padStart(width, '0');
}
