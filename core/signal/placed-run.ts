/**
 * Runs of a logger laid on UTC: by the GPS times that share their counter, by an entered anchor, or by the pattern of
 * work and rest that they share with the fixes of the same machine.
 */
import { type Notice, type Result, success } from '../errors.ts';
import type { LoggerRun } from '../read/logger-run.ts';
import type { MachineSheet, PaddleSheet } from '../season.ts';
import type { TimedFixes } from '../track/track.ts';
import { type Polarity, polarityOf } from './beam-polarity.ts';
import type { BeamReading } from './beam-reading.ts';
import { clockByPattern, invertedBeam, noClock } from './beam-sentences.ts';
import { type ClockSolution, clockFromAnchor, estimateClock, timeFromTick } from './clock.ts';
import { matchClock } from './clock-match.ts';
import { emptyLevelFromGeometry } from './empty-level.ts';
import { paddleVolume } from './flow.ts';
import { type HintedFixes, joinFixes, timedFixes } from './joined-fixes.ts';
import { darkFractions, trailingEdges } from './paddle-columns.ts';
import type { PaddleReading } from './paddles.ts';

/** A run of a beam logger, its edges reduced to paddles. */
export type BeamRun = LoggerRun<BeamReading>;

/** A run with what its log entry says about it. */
export interface HintedRun {
  readonly run: BeamRun;
  /** Index of the field named for the log, or −1. */
  readonly field: number;
  /** Unix seconds of counter zero, when entered; NaN otherwise. */
  readonly tick_zero_utc_s: number;
}

/** What a machine's runs are read with. */
export interface BeamContext {
  readonly machine: number;
  readonly sheet: Pick<MachineSheet, 'id' | 'name' | 'paddle' | 'beam'>;
  readonly epoch_utc_s: number;
}

/** A run whose counter is laid on UTC, with its paddles. */
export interface PlacedRun {
  readonly run: BeamRun;
  readonly clock: ClockSolution;
  readonly reading: PaddleReading;
}

export interface PlacedRuns {
  /** In time order; runs that hold nothing but fixes are not among them. */
  readonly placed: readonly PlacedRun[];
  /** Fixes of all runs. */
  readonly fixes: HintedFixes;
  readonly notices: readonly Notice[];
}

/** Places all runs of one machine. A run that nothing can place is left out and named in a notice. */
export function placeRuns(runs: readonly HintedRun[], paddle: PaddleSheet, context: BeamContext): PlacedRuns {
  const notices: Notice[] = [];
  const parts: { fixes: TimedFixes; field: number }[] = [];
  const placed: PlacedRun[] = [];
  const loose: BeamRun[] = [];
  const polarity = polarityOf(runs.map(({ run }) => run.beam.unevenness)) ?? 'as_logged';
  if (polarity === 'inverted') notices.push(invertedBeam(runs[0].run.source));
  for (const { run, field, tick_zero_utc_s } of runs) {
    const own = clockOf(run, tick_zero_utc_s);
    notices.push(...own.notices);
    const clock = own.ok ? own.value : undefined;
    if (run.fixes.utc_s.length > 0) {
      parts.push({ fixes: timedFixes(run.fixes, clock, context.epoch_utc_s), field });
    }
    if (Number.isNaN(firstTick(run))) continue;
    if (clock !== undefined) placed.push({ run, clock, reading: paddlesOf(run, polarity) });
    else if (!own.ok && own.error.code === 'wrong_tick_unit')
      notices.push({ ...own.error, severity: 'mend', count: 1 });
    else loose.push(run);
  }
  const fixes = joinFixes(parts);
  for (const run of loose) {
    const matched = placeByPattern(run, fixes.fixes, paddle, polarity, context, notices);
    if (matched !== undefined) placed.push(matched);
  }
  const start_s = new Map(placed.map((p) => [p, startOf(p, context.epoch_utc_s)]));
  placed.sort((a, b) => (start_s.get(a) ?? 0) - (start_s.get(b) ?? 0));
  return { placed, fixes, notices };
}

/** The run's own clock, or the entered anchor where its fixes tell no time. */
function clockOf(run: BeamRun, tick_zero_utc_s: number): Result<ClockSolution> {
  const own = estimateClock(run.fixes.tick_us, run.fixes.utc_s, run.source);
  const isAnchored = !Number.isNaN(tick_zero_utc_s) && !own.ok && own.error.code === 'no_time';
  return isAnchored ? success(clockFromAnchor(0, tick_zero_utc_s)) : own;
}

/** Paddles as the machine's beam is wired; a run that tells for itself that it is wired otherwise is read as it says. */
function paddlesOf({ beam: { paddles }, source }: BeamRun, polarity: Polarity): PaddleReading {
  const reading = paddles[polarity] ?? paddles.as_logged ?? paddles.inverted;
  if (reading === undefined) throw new RangeError(`The beam of ${source} was read in neither polarity.`);
  return reading;
}

function placeByPattern(
  run: BeamRun,
  fixes: TimedFixes,
  paddle: PaddleSheet,
  polarity: Polarity,
  context: BeamContext,
  notices: Notice[],
): PlacedRun | undefined {
  const reading = paddlesOf(run, polarity);
  const dark_fraction = darkFractions(reading.paddles);
  const empty = emptyLevelFromGeometry(paddle, context.sheet.beam);
  const match = matchClock(
    {
      t_s: trailingEdges(reading.paddles).map((tick_us) => tick_us * 1e-6),
      amount: dark_fraction.map((dark, i) => reading.paddles.slots[i] * paddleVolume(paddle, dark, empty)),
    },
    fixes,
  );
  if (match === undefined) {
    notices.push(noClock(run.source, run.fixes.tick_us.length));
    return undefined;
  }
  notices.push(clockByPattern(run.source, match));
  return { run, clock: clockFromAnchor(0, match.zero_s + context.epoch_utc_s, match.drift), reading };
}

/** First counter of what the run says besides fixes; NaN when it says nothing else. */
function firstTick({ beam, header, moisture, tilt }: BeamRun): number {
  const others = [header, moisture, tilt].map(({ tick_us }) => tick_us[0] ?? Number.NaN);
  const known = [beam.first_us, ...others].filter((tick_us) => !Number.isNaN(tick_us));
  return known.length > 0 ? Math.min(...known) : Number.NaN;
}

function startOf({ run, clock }: PlacedRun, epoch_utc_s: number): number {
  return timeFromTick(clock, Float64Array.of(firstTick(run)), epoch_utc_s)[0];
}
