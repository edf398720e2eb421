/** The days on which a machine worked: stretches of paddles between long rests, named by the sun over the machine. */
import { isoFromUnix } from '../iso-time.ts';
import { median } from '../stats/quantiles.ts';

export interface WorkingDay {
  /** Calendar day at the machine's longitude when work began, `2026-09-14`. */
  readonly day: string;
  /** Rows [first, last) of the paddles. */
  readonly first: number;
  readonly last: number;
  readonly from_s: number;
  readonly to_s: number;
}

/** A rest as long as this parts two days: a meal does not, a night does. */
const NIGHT_S = 4 * 3600;
/** A quarter of a minute of paddles is no day's work. */
const FEWEST_PADDLES = 200;
const S_PER_DEG = 240;

/** `t_s` ascends, seconds from `epoch_utc_s`; `longitude_deg` may hold NaN. */
export function workingDays(
  t_s: Float64Array,
  longitude_deg: Float64Array,
  epoch_utc_s: number,
): WorkingDay[] {
  const days: WorkingDay[] = [];
  const longitude = median(longitude_deg);
  const sun_s = Number.isNaN(longitude) ? 0 : longitude * S_PER_DEG;
  let first = 0;
  for (let i = 1; i <= t_s.length; i++) {
    if (i < t_s.length && t_s[i] - t_s[i - 1] < NIGHT_S) continue;
    if (i - first >= FEWEST_PADDLES) {
      const day = isoFromUnix(epoch_utc_s + t_s[first] + sun_s)?.slice(0, 10) ?? '';
      days.push({ day, first, last: i, from_s: t_s[first], to_s: t_s[i - 1] });
    }
    first = i;
  }
  return days;
}
