/** The logger's counter against the receiver's time: whether it counts microseconds, and how far it drifts. */
import { median } from '../stats/quantiles.ts';
import type { FirstLog } from './first-log.ts';

export interface CounterReading {
  /** Microseconds a count stands for: 1, or a power of ten where the counter is another. */
  readonly us_per_tick: number;
  /** Positive: the counter runs slow. NaN where the log is too short. */
  readonly drift_ppm: number;
  /** Standard error of the drift. */
  readonly drift_se_ppm: number;
  /** Seconds compared, of the longest run. */
  readonly span_s: number;
  /** Lateness of each fix behind the steadiest line, s, against seconds from the run's first fix. */
  readonly at_s: Float64Array;
  readonly late_s: Float64Array;
  /** Leaps of the receiver's time by more than a second. */
  readonly leaps: number;
  /** Whether any fix tells date and time. */
  readonly has_time: boolean;
}

/** A shorter span says nothing of drift, s. */
const SHORTEST_SPAN_S = 60;
const FEWEST_FIXES = 20;
const LEAP_S = 1;

export function readCounter(log: FirstLog): CounterReading {
  const runs = log.runs.map(({ run }) => pairsOf(run.fixes.tick_us, run.fixes.utc_s));
  const longest = runs.reduce((most, one) => (one.count_s.length > most.count_s.length ? one : most), EMPTY);
  const has_time = runs.some(({ count_s }) => count_s.length > 0);
  const rate = rateOf(longest);
  const power = Number.isFinite(rate) && rate > 0 ? Math.round(Math.log10(rate)) : 0;
  const us_per_tick = 10 ** -power;
  const at_s = longest.utc_s;
  const late_s = at_s.map((utc_s, i) => longest.count_s[i] * us_per_tick - utc_s);
  const leaps = leapsIn(late_s);
  return { us_per_tick, ...driftOf(at_s, late_s, leaps), at_s, late_s, leaps, has_time };
}

interface Pairs {
  /** Seconds by the counter, were it in µs, and by the receiver, both from the first pair. */
  readonly count_s: Float64Array;
  readonly utc_s: Float64Array;
}

const EMPTY: Pairs = { count_s: new Float64Array(), utc_s: new Float64Array() };

function pairsOf(tick_us: Float64Array, utc_s: Float64Array): Pairs {
  const rows: number[] = [];
  for (let i = 0; i < utc_s.length; i++) if (!Number.isNaN(tick_us[i] + utc_s[i])) rows.push(i);
  if (rows.length === 0) return EMPTY;
  return {
    count_s: Float64Array.from(rows, (i) => (tick_us[i] - tick_us[rows[0]]) * 1e-6),
    utc_s: Float64Array.from(rows, (i) => utc_s[i] - utc_s[rows[0]]),
  };
}

/** Median of counter seconds over receiver seconds between fixes some steps apart. */
function rateOf({ count_s, utc_s }: Pairs): number {
  const STEPS = 5;
  const rates: number[] = [];
  for (let i = STEPS; i < utc_s.length; i++) {
    const passed_s = utc_s[i] - utc_s[i - STEPS];
    if (passed_s > 0) rates.push((count_s[i] - count_s[i - STEPS]) / passed_s);
  }
  return rates.length < FEWEST_FIXES ? Number.NaN : median(rates);
}

function leapsIn(late_s: Float64Array): number {
  let leaps = 0;
  for (let i = 1; i < late_s.length; i++) if (Math.abs(late_s[i] - late_s[i - 1]) > LEAP_S) leaps++;
  return leaps;
}

/** Medians of the first and last quarter, and what they differ by, over the time between. */
function driftOf(at_s: Float64Array, late_s: Float64Array, leaps: number) {
  const span_s = at_s.length > 0 ? at_s[at_s.length - 1] : 0;
  if (span_s < SHORTEST_SPAN_S || at_s.length < FEWEST_FIXES || leaps > 0)
    return { drift_ppm: Number.NaN, drift_se_ppm: Number.NaN, span_s };
  const quarter = at_s.length >> 2;
  const ends = [
    [at_s.subarray(0, quarter), late_s.subarray(0, quarter)],
    [at_s.subarray(-quarter), late_s.subarray(-quarter)],
  ] as const;
  const [first, last] = ends.map(([at, late]) => ({ at: median(at), late: median(late) }));
  const apart_s = last.at - first.at;
  const steps = late_s.slice(1).map((late, i) => Math.abs(late - late_s[i]));
  const noise_s = (1.4826 * median(steps)) / Math.SQRT2;
  return {
    drift_ppm: (-1e6 * (last.late - first.late)) / apart_s,
    drift_se_ppm: (1e6 * 1.2533 * noise_s * Math.sqrt(2 / quarter)) / apart_s,
    span_s,
  };
}
