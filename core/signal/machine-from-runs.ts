/**
 * The runs of a beam logger → one machine record on the season's clock. Each run has its own clock; runs follow each
 * other in time.
 */
import { ascendingRows, concatenate, pickRows } from '../columns.ts';
import { failure, type Notice, type Result, success } from '../errors.ts';
import {
  noEdges,
  noFixes,
  noPaddleSheet,
  paddleNotices,
  pastPaddles,
  restartNotices,
  reversedHeader,
} from './beam-sentences.ts';
import { timeFromTick } from './clock.ts';
import type { TimedPaddles } from './flow.ts';
import { headerIsReversed } from './header-polarity.ts';
import type { HeaderRecord, MachineRecord } from './machine-record.ts';
import { darkFractions, periodsOf, trailingEdges } from './paddle-columns.ts';
import { type BeamContext, type BeamRun, type HintedRun, type PlacedRun, placeRuns } from './placed-run.ts';
import { bridgeRestarts } from './restarts.ts';

/** Fails when the machine has no paddle sheet, when there is no fix, or when no paddle can be placed in time. */
export function machineFromRuns(runs: readonly HintedRun[], context: BeamContext): Result<MachineRecord> {
  const { sheet, epoch_utc_s } = context;
  if (sheet.paddle === undefined) return failure(noPaddleSheet(sheet));
  const source = sourceOf(runs, sheet);
  const { placed, fixes, notices: said } = placeRuns(runs, sheet.paddle, context);
  const notices = [...said];
  if (fixes.fixes.t_s.length === 0) return failure(noFixes(source), notices);
  if (!placed.some(({ reading }) => reading.paddles.step_us.length > 1)) {
    const adrift = said.find(({ code }) => code === 'beam_without_clock' || code === 'wrong_tick_unit');
    const edges = runs.reduce((sum, { run }) => sum + run.beam.edges, 0);
    return failure(adrift ?? noEdges(source, edges), notices);
  }
  const facts = placed.map(({ clock, reading }) => ({
    counts: reading.counts,
    chatter: reading.chatter,
    clock,
  }));
  notices.push(
    ...paddleNotices(
      facts.map(({ counts }) => counts),
      source,
    ),
  );
  const paddles = joinPaddles(placed, epoch_utc_s, source, notices);
  const moisture = joinColumns(placed, epoch_utc_s, ({ moisture: m }) => [m.tick_us, m.moisture_pct]);
  const tilt = joinColumns(placed, epoch_utc_s, ({ tilt: t }) => [t.tick_us, t.pitch_deg]);
  return success(
    {
      machine: context.machine,
      source,
      ...fixes,
      header: believable(joinHeader(placed, epoch_utc_s), paddles, source, notices),
      moisture: { t_s: moisture.t_s, moisture_pct: moisture.column },
      pitch: { t_s: tilt.t_s, pitch_rad: tilt.column.map((deg) => (deg * Math.PI) / 180) },
      grain: { kind: 'paddles', single: true, runs: facts, paddles },
    },
    notices,
  );
}

/** Paddles of all runs in time order, the silences between runs bridged. */
function joinPaddles(
  placed: readonly PlacedRun[],
  epoch_utc_s: number,
  source: string,
  notices: Notice[],
): TimedPaddles {
  const lengths = placed.map(({ reading }) => reading.paddles.step_us.length);
  const n = lengths.reduce((sum, length) => sum + length, 0);
  const [t_s, period_s, dark_fraction, slots] = Array.from({ length: 4 }, () => new Float64Array(n));
  let at = 0;
  for (const { clock, reading } of placed) {
    const { paddles } = reading;
    const end = at + paddles.step_us.length;
    timeFromTick(clock, trailingEdges(paddles), epoch_utc_s, t_s.subarray(at, end));
    periodsOf(paddles, period_s.subarray(at, end));
    darkFractions(paddles, dark_fraction.subarray(at, end));
    slots.set(paddles.slots, at);
    at = end;
  }
  const rows = ascendingRows(t_s);
  const kept = (column: Float64Array) => (rows.length === n ? column : pickRows(column, rows));
  const bridged = bridgeRestarts(
    {
      t_s: kept(t_s),
      period_s: kept(period_s),
      dark_fraction: kept(dark_fraction),
      slots: kept(slots),
    },
    firstRows(lengths, rows),
  );
  notices.push(...pastPaddles(n - rows.length, source), ...restartNotices(bridged, source));
  return bridged.paddles;
}

/** Rows among the `kept` ones at which parts of the given lengths begin; parts of which nothing was kept have none. */
function firstRows(lengths: readonly number[], kept: Int32Array): number[] {
  const first: number[] = [];
  let k = 0;
  let end = 0;
  for (const length of lengths) {
    end += length;
    if (k < kept.length && kept[k] < end) first.push(k);
    while (k < kept.length && kept[k] < end) k++;
  }
  return first;
}

/** One column of all runs on the season's clock. */
function joinColumns(
  placed: readonly PlacedRun[],
  epoch_utc_s: number,
  pick: (run: BeamRun) => readonly [tick_us: Float64Array, column: Float64Array],
) {
  const t_s = concatenate(placed.map(({ clock, run }) => timeFromTick(clock, pick(run)[0], epoch_utc_s)));
  const rows = ascendingRows(t_s);
  return {
    t_s: pickRows(t_s, rows),
    column: pickRows(concatenate(placed.map(({ run }) => pick(run)[1])), rows),
  };
}

/** Header states of all runs. None is left out, for a state lasts: one whose time falls back counts from the time before. */
function joinHeader(placed: readonly PlacedRun[], epoch_utc_s: number): HeaderRecord {
  const t_s = concatenate(
    placed.map(({ clock, run }) => timeFromTick(clock, run.header.tick_us, epoch_utc_s)),
  );
  for (let i = 1; i < t_s.length; i++) if (!(t_s[i] >= t_s[i - 1])) t_s[i] = t_s[i - 1];
  const up = new Uint8Array(t_s.length);
  let at = 0;
  for (const { run } of placed) {
    up.set(run.header.up, at);
    at += run.header.up.length;
  }
  return { t_s, up };
}

/** The header's states the right way round. */
function believable(
  header: HeaderRecord,
  paddles: TimedPaddles,
  source: string,
  notices: Notice[],
): HeaderRecord {
  if (!headerIsReversed(header, paddles)) return header;
  notices.push(reversedHeader(source));
  return { t_s: header.t_s, up: header.up.map((up) => 1 - up) };
}

function sourceOf(runs: readonly HintedRun[], sheet: BeamContext['sheet']): string {
  const names = [...new Set(runs.map(({ run }) => run.source))];
  return names.length === 1 ? names[0] : `${sheet.name} (${names.length} logs)`;
}
