/** Sensor and logger as summary.json shows them: chain, empty level, chatter, clock. */
import { finiteOrNull, Interpolation, sumOf } from '../columns.ts';
import type { SignalSummary } from '../result.ts';
import type { MachineSheet } from '../season.ts';
import { MAD_TO_SD, median, quantile } from '../stats/quantiles.ts';
import type { EmptyLevelSolution } from './empty-level.ts';
import type { TimedPaddles } from './flow.ts';
import type { MachineGrain } from './grain-of-machine.ts';
import type { MachineRecord, RunFacts } from './machine-record.ts';
import { samplePaddles } from './paddle-sample.ts';
import type { PaddleCounts } from './paddles.ts';
import { runningMedian } from './running-median.ts';

/** Medians and scatters of a hundred thousand paddles are known to some thousandths of themselves. */
const STRETCHES = 60;
const STRETCH_PADDLES = 2000;

/** One row a machine whose log shows paddles; logs that carry a flow have no sensor to tell of. */
export function signalSummaries(
  season: { readonly machines: readonly Pick<MachineSheet, 'id' | 'paddle'>[] },
  records: readonly MachineRecord[],
  grains: readonly MachineGrain[],
  epoch_utc_s: number,
): SignalSummary[] {
  return records.flatMap((record, r) => {
    const { level } = grains[r];
    if (record.grain.kind !== 'paddles' || level === undefined) return [];
    const { paddles, runs, single } = record.grain;
    const { id, paddle } = season.machines[record.machine];
    const some = samplePaddles(paddles, STRETCHES, STRETCH_PADDLES);
    const pitch_m = (paddle?.pitch_mm ?? Number.NaN) * 1e-3;
    return [
      {
        machine: id,
        paddles: sumOf(paddles.slots),
        chain_speed_m_s: finiteOrNull(median(chainSpeeds(some, pitch_m))),
        period_jitter_pct: single ? finiteOrNull(jitter(some)) : null,
        slip_pct: single ? finiteOrNull(slip(some, level)) : null,
        empty_level: levelFacts(level, epoch_utc_s),
        odd_paddles: (level.signature?.bent ?? []).map(({ slot, extra_dark_fraction }) => ({
          place: slot,
          extra_dark_fraction,
        })),
        ...countFacts(runs),
      },
    ];
  });
}

function chainSpeeds({ slots, period_s }: TimedPaddles, pitch_m: number): Float64Array {
  const speed_m_s = new Float64Array(slots.length);
  for (let i = 0; i < speed_m_s.length; i++) speed_m_s[i] = (slots[i] * pitch_m) / period_s[i];
  return speed_m_s;
}

/** Robust scatter of single periods about their running median, %. */
function jitter({ period_s, slots }: TimedPaddles): number {
  const single = period_s.map((period, i) => (slots[i] === 1 ? period : Number.NaN));
  const usual = runningMedian(single, 21);
  return 100 * MAD_TO_SD * median(single.map((period, i) => Math.abs(period / usual[i] - 1)));
}

/** Period of the fullest paddles over that of empty ones, minus one, %; NaN when the log shows too few of either. */
function slip(paddles: TimedPaddles, level: EmptyLevelSolution): number {
  const empty_fraction = new Interpolation(level.t_s, level.dark_fraction);
  const fill = paddles.t_s.map((t_s, i) => paddles.dark_fraction[i] - empty_fraction.at(t_s));
  const full = quantile(fill, 0.9);
  const periodsWhere = (test: (fill: number) => boolean) =>
    paddles.period_s.filter((_, i) => paddles.slots[i] === 1 && test(fill[i]));
  const empty = periodsWhere((f) => Math.abs(f) < 0.1 * full);
  const loaded = periodsWhere((f) => f >= full);
  if (!(full > 0.02) || Math.min(empty.length, loaded.length) < 50) return Number.NaN;
  return 100 * (median(loaded) / median(empty) - 1);
}

/** More readings than this are not to be told apart on any screen. */
const MOST_READINGS = 400;
/** Digits after the point of a dark fraction: far finer than it can be read. */
const FRACTION_SCALE = 1e5;

function levelFacts(level: EmptyLevelSolution, epoch_utc_s: number): SignalSummary['empty_level'] {
  const knots = level.dark_fraction;
  const step = Math.ceil(knots.length / MOST_READINGS);
  const rows = level.method === 'measured' ? [...knots.keys()].filter((row) => row % step === 0) : [];
  return {
    method: level.method,
    first: finiteOrNull(knots[0]),
    last: finiteOrNull(knots[knots.length - 1]),
    geometry: finiteOrNull(level.geometry),
    spells: level.method === 'measured' ? knots.length : 0,
    read_at_unix_s: rows.map((row) => Math.round(epoch_utc_s + level.t_s[row])),
    read: rows.map((row) => Math.round(knots[row] * FRACTION_SCALE) / FRACTION_SCALE),
  };
}

function countFacts(runs: readonly RunFacts[]) {
  const total = (key: keyof PaddleCounts) => runs.reduce((sum, { counts }) => sum + counts[key], 0);
  return {
    missed: total('missed'),
    hidden: total('hidden'),
    extra: total('extra'),
    lit_gaps_bridged: total('lit_gaps_bridged'),
    dark_blips_dropped: total('dark_blips_dropped'),
    bridge_lit_ms: runs.map(({ chatter }) => chatter.bridge_lit_s * 1000),
    drop_dark_ms: runs.map(({ chatter }) => chatter.drop_dark_s * 1000),
    clock: runs.map(({ clock }) => ({
      drift_ppm: clock.drift_ppm,
      delay_ms: clock.median_delay_s * 1000,
      leaps: clock.pieces.length - 1,
      outliers: clock.outliers,
    })),
  };
}
