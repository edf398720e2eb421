/** Fixes of several runs or logs as one table in time order, each with the field that its log is named for. */
import { concatenate } from '../columns.ts';
import type { FixColumns } from '../read/logger-run.ts';
import type { TimedFixes } from '../track/track.ts';
import { type ClockSolution, timeFromTick } from './clock.ts';

export interface HintedFixes {
  readonly fixes: TimedFixes;
  /** Index of the field named for the fix's log, −1 where none is. */
  readonly field_hint: Int32Array;
}

/** Fixes on the season's clock: their own UTC, or the counter's where a sentence had no time. */
export function timedFixes(
  fixes: FixColumns,
  clock: ClockSolution | undefined,
  epoch_utc_s: number,
): TimedFixes {
  const byTick = clock === undefined ? undefined : timeFromTick(clock, fixes.tick_us, epoch_utc_s);
  const t_s = fixes.utc_s.map((utc_s, i) =>
    Number.isNaN(utc_s) ? (byTick?.[i] ?? Number.NaN) : utc_s - epoch_utc_s,
  );
  const { latitude_deg, longitude_deg, altitude_m, speed_m_s, course_deg, quality, satellites, hdop } = fixes;
  return { t_s, latitude_deg, longitude_deg, altitude_m, speed_m_s, course_deg, quality, satellites, hdop };
}

/**
 * Parts in the order of their first known times, one after the other; parts without rows are left out. Rows of equal or
 * falling time are left for the smoother to judge.
 */
export function joinFixes(
  parts: readonly { readonly fixes: TimedFixes; readonly field: number }[],
): HintedFixes {
  const ordered = parts
    .filter(({ fixes }) => fixes.t_s.length > 0)
    .map((part) => ({ ...part, start_s: part.fixes.t_s.find((t_s) => !Number.isNaN(t_s)) ?? Number.NaN }))
    .sort((a, b) => compareTimes(a.start_s, b.start_s));
  const column = (name: keyof TimedFixes) => concatenate(ordered.map(({ fixes }) => fixes[name]));
  const t_s = column('t_s');
  const field_hint = new Int32Array(t_s.length);
  let row = 0;
  for (const { fixes, field } of ordered) {
    field_hint.fill(field, row, row + fixes.t_s.length);
    row += fixes.t_s.length;
  }
  return {
    fixes: {
      t_s,
      latitude_deg: column('latitude_deg'),
      longitude_deg: column('longitude_deg'),
      altitude_m: column('altitude_m'),
      speed_m_s: column('speed_m_s'),
      course_deg: column('course_deg'),
      quality: column('quality'),
      satellites: column('satellites'),
      hdop: column('hdop'),
    },
    field_hint,
  };
}

/** For sorting: ascending, unknown times last. */
export function compareTimes(a_s: number, b_s: number): number {
  if (Number.isNaN(a_s) || Number.isNaN(b_s)) return Number(Number.isNaN(a_s)) - Number(Number.isNaN(b_s));
  return a_s - b_s;
}
