/** Tally logs and flow logs → machine records: rows that already sum up an interval. */
import { ascendingRows, concatenate } from '../columns.ts';
import { type DataError, failure, type Notice, type Result, success } from '../errors.ts';
import type { FlowLogColumns, TallyColumns } from '../read/logger-run.ts';
import type { TimedFixes } from '../track/track.ts';
import { type ClockSolution, timeFromTick } from './clock.ts';
import type { PitchRecord } from './flow.ts';
import { forwardClock, joinFixes, type MachineRecord } from './machine-record.ts';

/** A part of a machine's rows with the field that its log names (−1 for none). */
interface Part<T> {
  readonly columns: T;
  readonly field: number;
}

export interface RowsContext {
  readonly machine: number;
  readonly epoch_utc_s: number;
  /** Names of the season's fields: rows that name theirs are given to it. */
  readonly fields: readonly string[];
}

const NO_PITCH: PitchRecord = { t_s: new Float64Array(), pitch_rad: new Float64Array() };
/** Rows further apart than so many usual intervals have a pause between them. */
const PAUSE_INTERVALS = 2.5;

/**
 * Tally rows: each ends an interval in which `paddles` passed and the beam was dark for `dark_s`; D = dark time / interval,
 * chain speed = paddles · pitch / interval. Rows that count by tick are laid on `clock` (from the fixes of the same machine).
 * `fixes` are the machine's own when the rows carry no position.
 */
export function machineFromTallies(
  parts: readonly Part<TallyColumns>[],
  fixes: TimedFixes | undefined,
  clock: ClockSolution | undefined,
  context: RowsContext,
): Result<MachineRecord> {
  const { epoch_utc_s } = context;
  const timed = parts
    .map((part) => ({ ...part, t_s: tallyTimes(part.columns, clock, epoch_utc_s) }))
    .sort((a, b) => a.t_s[0] - b.t_s[0]);
  const source = [...new Set(parts.map((part) => part.columns.source))].join(', ');
  const t_all = concatenate(timed.map((part) => part.t_s));
  if (!t_all.some((t) => !Number.isNaN(t))) return failure(noTallyTime(source));
  const column = (pick: (rows: TallyColumns) => Float64Array) =>
    concatenate(timed.map((part) => pick(part.columns)));
  const rows = ascendingRows(t_all);
  const take = (whole: Float64Array) => Float64Array.from(rows, (row) => whole[row]);
  const t_s = take(t_all);
  const { period_s, dark_fraction, slots } = tallyPaddles(
    t_s,
    take(column((c) => c.paddles)),
    take(column((c) => c.dark_s)),
  );
  const up = take(column((c) => c.up));
  const known = [...up.keys()].filter((row) => !Number.isNaN(up[row]));
  const own = fixesFromTallies(t_s, take, column);
  const hint = timed.flatMap((part) => Array(part.t_s.length).fill(part.field));
  const usesOwn = own.latitude_deg.some((lat) => !Number.isNaN(lat));
  const chosen = usesOwn ? own : fixes;
  if (chosen === undefined || chosen.t_s.length === 0) return failure(noTallyFixes(source));
  return success({
    machine: context.machine,
    source,
    fixes: chosen,
    field_hint: usesOwn
      ? Int32Array.from(rows, (row) => hint[row])
      : new Int32Array(chosen.t_s.length).fill(hint[0] ?? -1),
    header: {
      t_s: Float64Array.from(known, (row) => t_s[row]),
      up: Uint8Array.from(known, (row) => up[row]),
    },
    moisture: { t_s, moisture_pct: take(column((c) => c.moisture_pct)) },
    pitch: NO_PITCH,
    grain: { kind: 'paddles', single: false, counts: [], paddles: { t_s, period_s, dark_fraction, slots } },
  });
}

function tallyTimes(
  columns: TallyColumns,
  clock: ClockSolution | undefined,
  epoch_utc_s: number,
): Float64Array {
  const byTick = clock === undefined ? undefined : timeFromTick(clock, columns.tick_us, epoch_utc_s);
  return columns.utc_s.map((utc_s, i) =>
    Number.isNaN(utc_s) ? (byTick?.[i] ?? Number.NaN) : utc_s - epoch_utc_s,
  );
}

/** A row as one stretch of `paddles` paddles; no period after a pause or where the elevator stood. */
function tallyPaddles(t_s: Float64Array, paddles: Float64Array, dark_s: Float64Array) {
  const steps = Float64Array.from(t_s.subarray(1), (t, i) => t - t_s[i]).sort();
  const usual_s = steps.length > 0 ? steps[steps.length >> 1] : 1;
  const period_s = t_s.map((t, i) => {
    const step_s = i > 0 ? t - t_s[i - 1] : usual_s;
    if (!(paddles[i] > 0)) return Number.NaN;
    return step_s > PAUSE_INTERVALS * usual_s ? usual_s : step_s;
  });
  return {
    period_s,
    dark_fraction: dark_s.map((dark, i) => dark / period_s[i]),
    slots: paddles.map((count) => (count > 0 ? count : 1)),
  };
}

function fixesFromTallies(
  t_s: Float64Array,
  take: (whole: Float64Array) => Float64Array,
  column: (pick: (rows: TallyColumns) => Float64Array) => Float64Array,
): TimedFixes {
  const unknown = new Float64Array(t_s.length).fill(Number.NaN);
  return {
    t_s,
    latitude_deg: take(column((c) => c.latitude_deg)),
    longitude_deg: take(column((c) => c.longitude_deg)),
    altitude_m: unknown,
    speed_m_s: take(column((c) => c.speed_m_s)),
    course_deg: take(column((c) => c.course_deg)),
    quality: unknown,
    satellites: unknown,
    hdop: unknown,
  };
}

/** Flow records on a clock that never runs backwards; the positions are the records' own. */
export function machineFromFlows(
  parts: readonly Part<FlowLogColumns>[],
  context: RowsContext,
): Result<MachineRecord> {
  const { epoch_utc_s } = context;
  const ordered = [...parts].sort((a, b) => a.columns.utc_s[0] - b.columns.utc_s[0]);
  const columns = joinFlowColumns(ordered.map((part) => part.columns));
  const hint = ordered.flatMap((part) => fieldHints(part, context.fields));
  const interval_s = columns.interval_s;
  const { t_s, backward } = forwardClock(columns.utc_s, interval_s, epoch_utc_s);
  const notices: Notice[] = [];
  if (backward > 0) {
    notices.push({
      code: 'time_ran_backwards',
      severity: 'info',
      source: columns.source,
      count: backward,
      text: `${columns.source}: the time stepped backwards ${backward} time${backward === 1 ? '' : 's'}; no record was lost, the next ones were moved on by a few seconds until the next pause.`,
    });
  }
  const fixes: TimedFixes = {
    t_s,
    latitude_deg: columns.latitude_deg,
    longitude_deg: columns.longitude_deg,
    altitude_m: columns.altitude_m,
    speed_m_s: columns.speed_m_s,
    course_deg: columns.heading_deg,
    quality: columns.quality,
    satellites: new Float64Array(t_s.length).fill(Number.NaN),
    hdop: new Float64Array(t_s.length).fill(Number.NaN),
  };
  return success(
    {
      machine: context.machine,
      source: columns.source,
      fixes: joinFixes([fixes]),
      field_hint: Int32Array.from(hint),
      header: { t_s: new Float64Array(), up: new Uint8Array() },
      moisture: { t_s, moisture_pct: columns.moisture_pct },
      pitch: NO_PITCH,
      grain: {
        kind: 'flow',
        records: { columns, t_s, interval_s },
      },
    },
    notices,
  );
}

/** The field that each row names, else the one named for its log. */
function fieldHints({ columns, field }: Part<FlowLogColumns>, fields: readonly string[]): number[] {
  const named = columns.field?.map((name) => fields.findIndex((f) => f.toLowerCase() === name.toLowerCase()));
  return Array.from(columns.utc_s, (_, i) => (named !== undefined && named[i] >= 0 ? named[i] : field));
}

function joinFlowColumns(parts: readonly FlowLogColumns[]): FlowLogColumns {
  const column = (name: Exclude<keyof FlowLogColumns, 'source' | 'field'>) =>
    concatenate(parts.map((part) => part[name]));
  return {
    source: [...new Set(parts.map((part) => part.source))].join(', '),
    utc_s: column('utc_s'),
    interval_s: column('interval_s'),
    latitude_deg: column('latitude_deg'),
    longitude_deg: column('longitude_deg'),
    altitude_m: column('altitude_m'),
    mass_flow_kg_s: column('mass_flow_kg_s'),
    volume_flow_m3_s: column('volume_flow_m3_s'),
    distance_m: column('distance_m'),
    speed_m_s: column('speed_m_s'),
    swath_m: column('swath_m'),
    heading_deg: column('heading_deg'),
    moisture_pct: column('moisture_pct'),
    up: column('up'),
    quality: column('quality'),
  };
}

function noTallyTime(source: string): DataError {
  return {
    code: 'no_time',
    source,
    text: `${source}: the rows count by the logger's own clock, and no file with GPS times shares it. Add the log that holds the fixes to the same log entry.`,
  };
}

function noTallyFixes(source: string): DataError {
  return {
    code: 'no_fixes',
    source,
    text: `${source}: the rows carry no position and the log entry lists no file with fixes, so nothing can be put on a map. Add the file that holds the positions.`,
  };
}
