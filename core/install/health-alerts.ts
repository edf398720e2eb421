/** When a day's health matters for yield, and by how much. */
import type { HealthAlert } from '../result.ts';
import type { MeasuredDay } from './season-health.ts';

/** Effects on yield from which a word is due, and from which something has to be mended, %. A choice of ours. */
const LOOK_PCT = 1;
const MEND_PCT = 5;
/** Noise and jitter that have grown so many times since the first day … */
const GROWN_TIMES = 2;
/** … and are beyond what a sound machine has. */
const LEAST_NOISE_MM = 2;
const LEAST_JITTER_PCT = 1.5;

/** A day with the mass that day `d` harvested: effects are on that. */
type WeighedDay = MeasuredDay & { readonly mass_kg: number };

/** Alerts of day `d`, on which `mass_kg` were harvested, against the other days of its machine. */
export function healthAlerts(
  measured: readonly MeasuredDay[],
  d: number,
  count: number | undefined,
  mass_kg: number,
): HealthAlert[] {
  const days = measured.map((day): WeighedDay => ({ ...day, mass_kg }));
  return [
    levelAlert(days, d),
    unmeasuredAlert(days, d),
    missingAlert(days, d, count),
    ...growthAlerts(days, d),
  ].filter((alert) => alert !== undefined);
}

/** The empty level moved since the first day on which it was measured: corrected, but dust and wear go on. */
function levelAlert(days: readonly WeighedDay[], d: number): HealthAlert | undefined {
  const first = days.find(({ empty_mm }) => empty_mm !== null);
  const now = days[d];
  if (first === undefined || first.empty_mm === null || now.empty_mm === null || first === now)
    return undefined;
  const shift_mm = now.empty_mm - first.empty_mm;
  const effect = effectOf(now, shift_mm);
  if (effect === undefined) return undefined;
  const what =
    shift_mm > 0 ? 'dust on the lens, or grain that leaks back' : 'worn paddles or a stretched chain';
  return {
    code: 'empty_level_drift',
    ...effect,
    text: `The empty level has moved by ${signedMm(shift_mm)} since ${first.day} (${what}). It is corrected where the elevator ran empty; uncorrected, this day's yields would be off by ${words(effect)}. Wipe the lenses.`,
  };
}

/** No empty running on that day: the level is the neighbours', and may be off by as much as those differ. */
function unmeasuredAlert(days: readonly WeighedDay[], d: number): HealthAlert | undefined {
  if (days[d].empty_mm !== null) return undefined;
  const before = days.slice(0, d).findLast(({ empty_mm }) => empty_mm !== null)?.empty_mm;
  const after = days.slice(d + 1).find(({ empty_mm }) => empty_mm !== null)?.empty_mm;
  if (typeof before !== 'number' || typeof after !== 'number') return undefined;
  const effect = effectOf(days[d], Math.abs(after - before) / 2);
  if (effect === undefined) return undefined;
  return {
    code: 'empty_level_not_measured',
    ...effect,
    text: `The elevator never ran empty on this day, and the level before and after differ: its yields may be off by ${words(effect)}. Let it run empty for a minute every day.`,
  };
}

function missingAlert(
  days: readonly WeighedDay[],
  d: number,
  count: number | undefined,
): HealthAlert | undefined {
  const { missing_places } = days[d];
  if (count === undefined || missing_places.length === 0) return undefined;
  const effect_pct = (100 * missing_places.length) / count;
  const before = d > 0 ? days[d - 1].missing_places.length : 0;
  const since = before < missing_places.length ? ', new on this day' : '';
  const effect = { verdict: 'mend', effect_pct, effect_kg: kg(days[d], effect_pct) } as const;
  return {
    code: 'missing_paddles',
    ...effect,
    text: `${missing_places.length} of ${count} paddles ${missing_places.length === 1 ? 'is' : 'are'} missing${since}. What is missed is taken to carry what its neighbours do: yields are too high by ${words(effect)}. Replace them, engine off, key out.`,
  };
}

function growthAlerts(days: readonly WeighedDay[], d: number): HealthAlert[] {
  const alerts: HealthAlert[] = [];
  const [first, now] = [days[0], days[d]];
  // higher heaps scatter more: only what has grown beyond them counts
  if (grown(first.noise_mm, now.noise_mm, LEAST_NOISE_MM) && grown(ofHeap(first), ofHeap(now), 0)) {
    alerts.push({
      code: 'noise_grown',
      verdict: 'look',
      effect_pct: 0,
      effect_kg: 0,
      text: `Single heaps scatter by ${now.noise_mm?.toFixed(1)} mm, on ${first.day} by ${first.noise_mm?.toFixed(1)} mm: the map is rougher, totals are not off. Tighten the bracket and wipe the lenses.`,
    });
  }
  if (grown(first.jitter_pct, now.jitter_pct, LEAST_JITTER_PCT)) {
    alerts.push({
      code: 'chain_slack',
      verdict: 'look',
      effect_pct: 0,
      effect_kg: 0,
      text: `The paddles come unevenly (${now.jitter_pct?.toFixed(1)} %, on ${first.day} ${first.jitter_pct?.toFixed(1)} %): the chain has grown slack. Tighten it as the maker says; heaps are measured as shares of each period, so that yields are not off.`,
    });
  }
  return alerts;
}

function ofHeap({ noise_mm, mean_fill }: WeighedDay): number | null {
  return noise_mm === null || mean_fill === null ? null : noise_mm / mean_fill;
}

function grown(first: number | null, now: number | null, least: number): boolean {
  return first !== null && now !== null && now > least && now > GROWN_TIMES * first;
}

/** What an error of the zero by a length of chain does to a day's flow; undefined where that is no more than a word's worth. */
function effectOf(day: WeighedDay, shift_mm: number): Omit<HealthAlert, 'code' | 'text'> | undefined {
  if (day.mean_fill === null || day.used_empty_mm === null) return undefined;
  const pitch_mm = day.pitch_mm;
  const effect_pct = (100 * Math.abs(shift_mm)) / (pitch_mm * day.mean_fill);
  if (effect_pct < LOOK_PCT) return undefined;
  return { verdict: effect_pct >= MEND_PCT ? 'mend' : 'look', effect_pct, effect_kg: kg(day, effect_pct) };
}

function kg({ mass_kg }: WeighedDay, effect_pct: number): number {
  return (mass_kg * effect_pct) / 100;
}

function words({ effect_pct, effect_kg }: Pick<HealthAlert, 'effect_pct' | 'effect_kg'>): string {
  return `${effect_pct.toFixed(1)} % (${effect_kg.toFixed(0)} kg)`;
}

function signedMm(mm: number): string {
  return `${mm < 0 ? '−' : '+'}${Math.abs(mm).toFixed(1)} mm`;
}
