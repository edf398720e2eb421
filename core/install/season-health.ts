/**
 * The sensor's health day by day, and what it does to yields.
 *
 * - Empty level: dust lifts it, wear and a stretched chain lower it. It is measured and corrected wherever the elevator ran
 *   empty; on a day on which it never did, the yields of that day rest on the neighbours: off by ΔD0 over the mean fill.
 * - Chain: the wheel sets how many paddles pass a second, so that stretch does not show in their period; it shows as slack,
 *   in the period's jitter. The period itself tells of engine and belt.
 * - A missing paddle: the reader takes a missed paddle to have carried what its neighbour did, so that each one of N lifts
 *   the flow by 1/N.
 * - Noise: the scatter of single heaps about their neighbours; it blurs the map, and biases nothing.
 */
import { finiteOrNull, Interpolation, interpolate, sumOf } from '../columns.ts';
import type { FieldPoints, HealthDay } from '../result.ts';
import type { MachineSheet } from '../season.ts';
import type { EmptyLevelSolution } from '../signal/empty-level.ts';
import type { TimedPaddles } from '../signal/flow.ts';
import type { MachineGrain } from '../signal/grain-of-machine.ts';
import type { MachineRecord } from '../signal/machine-record.ts';
import { samplePaddles } from '../signal/paddle-sample.ts';
import { runningMedian } from '../signal/running-median.ts';
import { MAD_TO_SD, median } from '../stats/quantiles.ts';
import { healthAlerts } from './health-alerts.ts';
import { recurringGaps } from './recurring-gaps.ts';
import { type WorkingDay, workingDays } from './working-days.ts';

/** A paddle with less than this share of its pitch carries nothing to speak of. */
const LOADED_FILL = 0.02;
const WINDOW = 21;
/** Paddles of a day that tell its mean, and its scatter: a season has millions, and these tell it to a hundredth. */
const FILL_PADDLES = 20_000;
const STRETCHES = 8;
const STRETCH_PADDLES = 600;

/** A day as its paddles show it, before the points are weighed. */
export interface MeasuredDay extends Omit<HealthDay, 'alerts' | 'mass_kg'> {
  /** Index of the machine, paddles on its chain, and the day's extent. */
  readonly of: {
    readonly machine: number;
    readonly count: number | undefined;
    readonly from_s: number;
    readonly to_s: number;
  };
}

/** One row a machine and working day, in the order of the records; logs without paddles have none. */
export function measureHealth(
  machines: readonly Pick<MachineSheet, 'id' | 'paddle'>[],
  epoch_utc_s: number,
  records: readonly MachineRecord[],
  grains: readonly MachineGrain[],
): MeasuredDay[] {
  return records.flatMap((record, r) => {
    const { level } = grains[r];
    const { id, paddle } = machines[record.machine];
    if (record.grain.kind !== 'paddles' || level === undefined || paddle === undefined) return [];
    const { paddles, single } = record.grain;
    const days = workingDays(paddles.t_s, record.fixes.longitude_deg, epoch_utc_s);
    return days.map((day): MeasuredDay => {
      const ofDay = part(paddles, day);
      return {
        machine: id,
        day: day.day,
        pitch_mm: paddle.pitch_mm,
        ...measuredDay(ofDay, levelWithin(level, day), level, paddle.pitch_mm, single),
        missing_places: single && paddle.count !== undefined ? recurringGaps(ofDay, paddle.count) : [],
        of: { machine: record.machine, count: paddle.count, from_s: day.from_s, to_s: day.to_s },
      };
    });
  });
}

/** The measured days with the mass of their points, and what matters for yield. */
export function seasonHealth(measured: readonly MeasuredDay[], points: readonly FieldPoints[]): HealthDay[] {
  const mass_kg = massOfDays(measured, points);
  return measured.map(({ of, ...day }, d) => {
    const ofMachine = measured.filter((other) => other.of.machine === of.machine);
    const alerts = healthAlerts(ofMachine, ofMachine.indexOf(measured[d]), of.count, mass_kg[d]);
    return { ...day, mass_kg: mass_kg[d], alerts };
  });
}

/** Mass of the points of each day's machine within the day, kg. Points ascend in time; days of one machine ascend and do not overlap. */
function massOfDays(measured: readonly MeasuredDay[], points: readonly FieldPoints[]): Float64Array {
  const mass_kg = new Float64Array(measured.length);
  const rowsOf = new Map<number, number[]>();
  measured.forEach(({ of }, d) => {
    rowsOf.set(of.machine, [...(rowsOf.get(of.machine) ?? []), d]);
  });
  for (const { t_s, machine: machines, mass_kg: masses_kg } of points) {
    for (const [machine, rows] of rowsOf) {
      const ends_s = rows.map((d) => measured[d].of.to_s);
      let k = 0;
      for (let i = 0; i < t_s.length; i++) {
        if (machines[i] !== machine) continue;
        // ground is cut before its grain passes the beam: the day is the first that has not ended
        while (k < rows.length && t_s[i] > ends_s[k]) k++;
        if (k < rows.length && Number.isFinite(masses_kg[i])) mass_kg[rows[k]] += masses_kg[i];
      }
    }
  }
  return mass_kg;
}

function part(paddles: TimedPaddles, { first, last }: WorkingDay): TimedPaddles {
  return {
    t_s: paddles.t_s.subarray(first, last),
    period_s: paddles.period_s.subarray(first, last),
    dark_fraction: paddles.dark_fraction.subarray(first, last),
    slots: paddles.slots.subarray(first, last),
  };
}

/** Median of the levels that were measured on that day; NaN where there is none. */
function levelWithin(level: EmptyLevelSolution, { from_s, to_s }: WorkingDay): number {
  if (level.method !== 'measured') return Number.NaN;
  return median(level.dark_fraction.filter((_, k) => level.t_s[k] >= from_s && level.t_s[k] <= to_s));
}

function measuredDay(
  paddles: TimedPaddles,
  measured: number,
  level: EmptyLevelSolution,
  pitch_mm: number,
  single: boolean,
) {
  const { t_s, slots } = paddles;
  const passed = sumOf(slots);
  const some = samplePaddles(paddles, STRETCHES, STRETCH_PADDLES);
  const periods = some.period_s.map((period, i) => (some.slots[i] === 1 ? period : Number.NaN));
  const middle_s = (t_s[0] + t_s[t_s.length - 1]) / 2;
  return {
    paddles: passed,
    mean_fill: finiteOrNull(meanFill(paddles, level)),
    empty_mm: finiteOrNull(measured * pitch_mm),
    used_empty_mm: finiteOrNull(interpolate(level.t_s, level.dark_fraction, middle_s) * pitch_mm),
    period_ms: finiteOrNull(1000 * median(some.period_s.map((period, i) => period / some.slots[i]))),
    jitter_pct: single ? finiteOrNull(jitterOf(periods)) : null,
    // the level hardly moves from one paddle to the next: it drops out of second differences
    noise_mm: single ? finiteOrNull(noiseOf(some.dark_fraction) * pitch_mm) : null,
    missed_per_1000: single ? finiteOrNull((1000 * (passed - slots.length)) / passed) : null,
  };
}

/** Share of the pitch that heaps take up, mean over loaded paddles, spread evenly over the day. */
function meanFill({ t_s, dark_fraction }: TimedPaddles, level: EmptyLevelSolution): number {
  const empty = new Interpolation(level.t_s, level.dark_fraction);
  const stride = Math.ceil(t_s.length / FILL_PADDLES);
  let loaded = 0;
  let sum = 0;
  for (let i = 0; i < t_s.length; i += stride) {
    const fill = dark_fraction[i] - empty.at(t_s[i]);
    if (!(fill > LOADED_FILL)) continue;
    loaded++;
    sum += fill;
  }
  return loaded > 0 ? sum / loaded : Number.NaN;
}

function jitterOf(period_s: Float64Array): number {
  const usual = runningMedian(period_s, WINDOW);
  return 100 * MAD_TO_SD * median(period_s.map((period, i) => Math.abs(period / usual[i] - 1)));
}

/** Second differences have variance 6σ² where the flow itself is smooth. */
function noiseOf(fill: Float64Array): number {
  const second = new Float64Array(Math.max(0, fill.length - 2));
  for (let i = 2; i < fill.length; i++) second[i - 2] = Math.abs(fill[i] - 2 * fill[i - 1] + fill[i - 2]);
  return (MAD_TO_SD * median(second)) / Math.sqrt(6);
}
