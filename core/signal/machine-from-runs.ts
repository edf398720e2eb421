/**
 * The runs of a beam logger → one machine record on the season's clock. Each run has its own clock; runs follow each
 * other in time. A run of edges without fixes is laid on the fixes of the others by an anchor or by its pattern of work.
 */
import { ascendingRows, concatenate, lowerBound } from '../columns.ts';
import { type DataError, failure, type Notice, type Result, success } from '../errors.ts';
import type { FixColumns, LoggerRun } from '../read/logger-run.ts';
import type { MachineSheet, PaddleSheet, SettingsSheet } from '../season.ts';
import type { TimedFixes } from '../track/track.ts';
import { estimateChatter } from './chatter.ts';
import { type ClockSolution, clockFromAnchor, estimateClock, timeFromTick } from './clock.ts';
import { matchClock } from './clock-match.ts';
import { emptyLevelFromGeometry } from './empty-level.ts';
import { paddleVolume } from './flow.ts';
import { headerIsReversed } from './header-polarity.ts';
import { joinFixes, type MachineRecord } from './machine-record.ts';
import { type PaddleCounts, type PaddleReading, readPaddles } from './paddles.ts';
import { type BridgedPaddles, bridgeRestarts, RESTART_MAX_S } from './restarts.ts';

/** A run with what its log entry says about it. */
export interface HintedRun {
  readonly run: LoggerRun;
  /** Index of the field named for the log, or −1. */
  readonly field: number;
  /** Unix seconds of counter zero, when entered; NaN otherwise. */
  readonly tick_zero_utc_s: number;
}

export interface BeamContext {
  readonly machine: number;
  readonly sheet: MachineSheet;
  readonly signal: SettingsSheet['signal'];
  readonly epoch_utc_s: number;
}

interface PlacedRun {
  readonly hinted: HintedRun;
  readonly clock: ClockSolution;
  readonly reading: PaddleReading;
}

/** Fails when no edge can be placed in time, or when the machine has no paddle sheet. */
export function machineFromRuns(runs: readonly HintedRun[], context: BeamContext): Result<MachineRecord> {
  const { sheet, epoch_utc_s } = context;
  const notices: Notice[] = [];
  if (sheet.paddle === undefined) return failure(noPaddle(sheet));
  const fixParts: { fixes: TimedFixes; field: number }[] = [];
  const placed: PlacedRun[] = [];
  const loose: HintedRun[] = [];
  for (const hinted of runs) {
    const { run } = hinted;
    const hasEdges = run.edges.dark.length > 0;
    const clock = clockOf(hinted, notices);
    if (run.fixes.utc_s.length > 0) {
      fixParts.push({ fixes: timedFixes(run.fixes, clock, epoch_utc_s), field: hinted.field });
    }
    if (!hasEdges && run.moisture.tick_us.length + run.header.tick_us.length === 0) continue;
    if (clock === undefined) loose.push(hinted);
    else placed.push({ hinted, clock, reading: paddlesOf(run, context) });
  }
  const fixes = joinFixes(fixParts.map((part) => part.fixes));
  for (const hinted of loose) {
    const matched = placeByPattern(hinted, fixes, context, sheet.paddle, notices);
    if (matched !== undefined) placed.push(matched);
  }
  const source = sourceOf(runs, sheet);
  if (fixes.t_s.length === 0) return failure(noFixes(source), notices);
  if (!placed.some((p) => p.reading.paddles.tick_us.length > 1)) return failure(noEdges(source), notices);
  placed.sort((a, b) => startOf(a, epoch_utc_s) - startOf(b, epoch_utc_s));
  notices.push(
    ...countNotices(
      placed.map((p) => p.reading.counts),
      source,
    ),
  );
  const record = joinPlaced(placed, fixes, fixParts, context, source, notices);
  return success(withBelievableHeader(record, notices), notices);
}

/** The run's own clock, the entered anchor, or nothing. */
function clockOf(hinted: HintedRun, notices: Notice[]): ClockSolution | undefined {
  const { run } = hinted;
  const own = estimateClock(run.fixes.tick_us, run.fixes.utc_s, run.source);
  if (own.ok) {
    notices.push(...own.notices);
    return own.value;
  }
  return Number.isNaN(hinted.tick_zero_utc_s) ? undefined : clockFromAnchor(0, hinted.tick_zero_utc_s);
}

function paddlesOf(run: LoggerRun, context: BeamContext): PaddleReading {
  return readPaddles(run.edges, estimateChatter(run.edges, context.signal));
}

/** Lays a run without clock on the fixes by its pattern of work and rest. */
function placeByPattern(
  hinted: HintedRun,
  fixes: TimedFixes,
  context: BeamContext,
  paddle: PaddleSheet,
  notices: Notice[],
): PlacedRun | undefined {
  const { run } = hinted;
  const reading = paddlesOf(run, context);
  const { tick_us, dark_fraction, slots } = reading.paddles;
  const empty = emptyLevelFromGeometry(paddle, context.sheet.beam);
  const match = matchClock(
    {
      counter_s: tick_us.map((tick) => tick * 1e-6),
      amount: dark_fraction.map((d, i) => slots[i] * paddleVolume(paddle, d, empty)),
    },
    fixes,
  );
  if (match === undefined) {
    notices.push({
      code: 'beam_without_clock',
      severity: 'mend',
      source: run.source,
      count: 1,
      text: `${run.source}: this beam file has no GPS time in it and its work and rest fit none of the fixes, so it was left out. Add the log that holds its GPS, or enter "tick_zero_utc" for this log in season.json.`,
    });
    return undefined;
  }
  notices.push({
    code: 'clock_by_pattern',
    severity: 'look',
    source: run.source,
    count: 1,
    text: `${run.source}: this beam file has no GPS time in it; it was laid on the fixes by its pattern of work and rest (agreement ${(100 * match.agreement).toFixed(0)} %). The transport lag reported for it includes what is left of the offset.`,
  });
  return { hinted, clock: clockFromAnchor(0, match.zero_s + context.epoch_utc_s), reading };
}

function startOf(placed: PlacedRun, epoch_utc_s: number): number {
  const { tick_us } = placed.hinted.run.edges;
  return tick_us.length > 0 ? timeFromTick(placed.clock, tick_us.subarray(0, 1), epoch_utc_s)[0] : 0;
}

/** Fixes on the season's clock: their own UTC, or the counter's where a sentence had no time. */
function timedFixes(fixes: FixColumns, clock: ClockSolution | undefined, epoch_utc_s: number): TimedFixes {
  const byTick = clock === undefined ? undefined : timeFromTick(clock, fixes.tick_us, epoch_utc_s);
  const t_s = fixes.utc_s.map((utc_s, i) =>
    Number.isNaN(utc_s) ? (byTick?.[i] ?? Number.NaN) : utc_s - epoch_utc_s,
  );
  return { ...fixes, t_s };
}

function joinPlaced(
  placed: readonly PlacedRun[],
  fixes: TimedFixes,
  fixParts: readonly { fixes: TimedFixes; field: number }[],
  context: BeamContext,
  source: string,
  notices: Notice[],
): MachineRecord {
  const joined = (pick: (p: PlacedRun) => { tick_us: Float64Array }) => {
    const t_s = concatenate(placed.map((p) => timeFromTick(p.clock, pick(p).tick_us, context.epoch_utc_s)));
    const rows = ascendingRows(t_s);
    return { rows, t_s: Float64Array.from(rows, (row) => t_s[row]) };
  };
  const paddles = joined((p) => p.reading.paddles);
  const header = joined((p) => p.hinted.run.header);
  const moisture = joined((p) => p.hinted.run.moisture);
  const tilt = joined((p) => p.hinted.run.tilt);
  const column = (rows: Int32Array, pick: (p: PlacedRun) => Float64Array) => {
    const whole = concatenate(placed.map(pick));
    return Float64Array.from(rows, (row) => whole[row]);
  };
  const bridged = bridgeRestarts(
    {
      t_s: paddles.t_s,
      period_s: column(paddles.rows, (p) => p.reading.paddles.period_s),
      dark_fraction: column(paddles.rows, (p) => p.reading.paddles.dark_fraction),
      slots: column(paddles.rows, (p) => p.reading.paddles.slots),
    },
    firstRows(placed, paddles.rows),
  );
  notices.push(...restartNotices(bridged, source));
  const up = placed.flatMap((p) => [...p.hinted.run.header.up]);
  const ordered = [...fixParts]
    .filter((p) => p.fixes.t_s.length > 0)
    .sort((a, b) => a.fixes.t_s[0] - b.fixes.t_s[0]);
  return {
    machine: context.machine,
    source,
    fixes,
    field_hint: Int32Array.from(ordered.flatMap((part) => Array(part.fixes.t_s.length).fill(part.field))),
    header: { t_s: header.t_s, up: Uint8Array.from(header.rows, (row) => up[row]) },
    moisture: {
      t_s: moisture.t_s,
      moisture_pct: column(moisture.rows, (p) => p.hinted.run.moisture.moisture_pct),
    },
    pitch: {
      t_s: tilt.t_s,
      pitch_rad: column(tilt.rows, (p) => p.hinted.run.tilt.pitch_deg).map((deg) => (deg * Math.PI) / 180),
    },
    grain: {
      kind: 'paddles',
      single: true,
      counts: placed.map((p) => p.reading.counts),
      paddles: bridged.paddles,
    },
  };
}

/** First row of each run among the rows that were kept. */
function firstRows(placed: readonly PlacedRun[], kept: Int32Array): number[] {
  const first: number[] = [];
  let from = 0;
  for (const { reading } of placed) {
    first.push(lowerBound(Float64Array.from(kept), from));
    from += reading.paddles.tick_us.length;
  }
  return first;
}

function restartNotices({ bridged_s, left_open }: BridgedPaddles, source: string): Notice[] {
  const notices: Notice[] = [];
  if (bridged_s >= 1) {
    notices.push({
      code: 'restart_bridged',
      severity: 'info',
      source,
      count: 1,
      text: `${source}: the logger started anew or changed files while the elevator ran; ${bridged_s.toFixed(1)} s without beam data were filled in from the paddles on either side.`,
    });
  }
  if (left_open > 0) {
    notices.push({
      code: 'log_gap',
      severity: 'info',
      source,
      count: left_open,
      text: `${source}: between its files there ${left_open === 1 ? 'is a silence' : `are ${left_open} silences`} of more than ${RESTART_MAX_S} s; grain that passed then is in no total.`,
    });
  }
  return notices;
}

/** What the paddles themselves give to think about. */
function countNotices(counts: readonly PaddleCounts[], source: string): Notice[] {
  const sum = (key: keyof PaddleCounts) => counts.reduce((total, one) => total + one[key], 0);
  const paddles = sum('paddles');
  const notices: Notice[] = [];
  const chatter = sum('lit_gaps_bridged') + sum('dark_blips_dropped');
  if (chatter > 0) {
    notices.push({
      code: 'chatter_removed',
      severity: chatter > 0.2 * paddles ? 'look' : 'info',
      source,
      count: chatter,
      text: `${source}: ${chatter} flickers of the beam too short to be a paddle were removed (${((100 * chatter) / paddles).toFixed(1)} for every 100 paddles).`,
    });
  }
  const lost = sum('missed') + sum('hidden');
  if (lost > 0) {
    notices.push({
      code: 'paddles_missed',
      severity: lost > 0.01 * paddles ? 'look' : 'info',
      source,
      count: lost,
      text: `${source}: ${lost} of ${paddles} paddles were missed or lost an edge; their grain was filled in from their neighbours.`,
    });
  }
  return notices;
}

/** The header's states the right way round. */
function withBelievableHeader(record: MachineRecord, notices: Notice[]): MachineRecord {
  const { header, grain, source } = record;
  if (grain.kind !== 'paddles' || !headerIsReversed(header, grain.paddles)) return record;
  notices.push({
    code: 'header_switch_reversed',
    severity: 'look',
    source,
    count: 1,
    text: `${source}: grain comes while the header is logged as up and stops while it is logged as down, so the switch is wired the other way round; it was read reversed.`,
  });
  return { ...record, header: { t_s: header.t_s, up: header.up.map((up) => 1 - up) } };
}

function sourceOf(runs: readonly HintedRun[], sheet: MachineSheet): string {
  const names = [...new Set(runs.map(({ run }) => run.source))];
  return names.length === 1 ? names[0] : `${sheet.name} (${names.length} logs)`;
}

function noPaddle(sheet: MachineSheet): DataError {
  return {
    code: 'no_paddle_sheet',
    source: 'season.json',
    text: `season.json: machine "${sheet.id}" has beam logs but no "paddle" (pitch_mm, width_mm, depth_mm, thickness_mm). Measure one paddle and enter it.`,
  };
}

function noFixes(source: string): DataError {
  return {
    code: 'no_fixes',
    source,
    text: `${source}: there is not one GPS position in it, so nothing can be put on a map. Check the receiver's cable and baud rate, or add the file that holds the positions to the same log entry.`,
  };
}

function noEdges(source: string): DataError {
  return {
    code: 'no_edges',
    source,
    text: `${source}: the beam never changed, so no paddle was seen. A beam that is always dark or always lit means a misaligned or dirty sensor, a loose plug or an elevator that did not run.`,
  };
}
