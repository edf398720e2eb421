/** On which working day each point was cut, over all fields: a machine's night parts its days. */
import { isoFromUnix } from '../../iso-time.ts';
import type { FieldPoints, SeasonResult } from '../../result.ts';

/** A rest as long as this parts two days: a meal does not, a night does. */
const NIGHT_S = 4 * 3600;
/** The sun moves a degree in four minutes. */
const S_PER_DEG = 240;

/** Calendar day by the sun over the machine when its work began, `2026-09-14`: what is cut after midnight belongs to the evening. */
export function dayOfPoints({
  points: fields,
  epoch_utc_s,
  machines,
}: Pick<SeasonResult, 'points' | 'epoch_utc_s' | 'machines'>): (points: FieldPoints, row: number) => string {
  const days = machines.map((_, machine) => daysOf(fields, machine, epoch_utc_s));
  return ({ t_s, machine }, row) => {
    const own = days[machine[row]] ?? [];
    let [low, high] = [0, own.length];
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (own[middle].from_s <= t_s[row]) low = middle;
      else high = middle;
    }
    return own[low]?.day ?? 'unknown day';
  };
}

interface Day {
  readonly from_s: number;
  readonly day: string;
}

function daysOf(fields: readonly FieldPoints[], machine: number, epoch_utc_s: number): Day[] {
  let count = 0;
  let longitude_deg = Number.NaN;
  for (const points of fields)
    for (let row = 0; row < points.t_s.length; row++) {
      if (points.machine[row] !== machine) continue;
      count++;
      if (Number.isNaN(longitude_deg)) longitude_deg = points.longitude_deg[row];
    }
  const t_s = new Float64Array(count);
  let next = 0;
  for (const points of fields)
    for (let row = 0; row < points.t_s.length; row++)
      if (points.machine[row] === machine) t_s[next++] = points.t_s[row];
  t_s.sort();
  const sun_s = Number.isNaN(longitude_deg) ? 0 : longitude_deg * S_PER_DEG;
  const days: Day[] = [];
  for (let k = 0; k < count; k++) {
    if (k > 0 && t_s[k] - t_s[k - 1] < NIGHT_S) continue;
    const day = isoFromUnix(epoch_utc_s + t_s[k] + sun_s)?.slice(0, 10) ?? 'unknown day';
    days.push({ from_s: t_s[k], day });
  }
  return days;
}
