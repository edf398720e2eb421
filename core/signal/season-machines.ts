/** All machines of a season on one clock: every log entry read becomes a record of its machine. */
import { type DataError, failure, type Notice, type Result, success } from '../errors.ts';
import type { FlowLogColumns, TallyColumns } from '../read/logger-run.ts';
import type { MachineLogs } from '../read/season-inputs.ts';
import type { FieldSheet, MachineSheet } from '../season.ts';
import type { TimedFixes } from '../track/track.ts';
import { noPaddleSheet } from './beam-sentences.ts';
import { estimateClock } from './clock.ts';
import { joinFixes, timedFixes } from './joined-fixes.ts';
import { machineFromFlows } from './machine-from-flows.ts';
import { machineFromRuns } from './machine-from-runs.ts';
import {
  type CounterClock,
  machineFromTallies,
  type TallyContext,
  tallyTimes,
} from './machine-from-tallies.ts';
import type { MachineRecord } from './machine-record.ts';
import type { HintedRun } from './placed-run.ts';
import { toldSpans, toldTwice, withoutTold } from './told-twice.ts';

/** What of a season decides how its logs are laid on the clock. */
export interface ClockedSeason {
  readonly machines: readonly Pick<MachineSheet, 'id' | 'name' | 'paddle' | 'beam'>[];
  readonly fields: readonly Pick<FieldSheet, 'name'>[];
}

export interface SeasonMachines {
  readonly epoch_utc_s: number;
  readonly records: readonly MachineRecord[];
}

const DAY_S = 86_400;

/** Fails with the first machine's error when no machine can be used; others become notices. */
export function machinesOfSeason(
  season: ClockedSeason,
  machineLogs: readonly MachineLogs[],
): Result<SeasonMachines> {
  const notices: Notice[] = [];
  const errors: DataError[] = [];
  const records: MachineRecord[] = [];
  const epoch_utc_s = epochOf(machineLogs);
  for (const logs of machineLogs) {
    for (const result of recordsOf(season, logs, epoch_utc_s)) {
      notices.push(...result.notices);
      if (result.ok) records.push(result.value);
      else errors.push(result.error);
    }
  }
  if (records.length === 0) return failure(errors[0], notices);
  for (const error of errors) notices.push({ ...error, severity: 'mend', count: 1 });
  return success({ epoch_utc_s, records }, notices);
}

function recordsOf(season: ClockedSeason, logs: MachineLogs, epoch_utc_s: number): Result<MachineRecord>[] {
  const { machine, runs, tallies, flows } = logs;
  const sheet = season.machines[machine];
  const results: Result<MachineRecord>[] = [];
  const hasBeam = runs.some(({ run }) => run.beam.edges > 0);
  // fixes alone belong to the rows beside them; with nothing beside them they say why there is no grain
  if (hasBeam || (runs.length > 0 && tallies.length + flows.length === 0)) {
    results.push(machineFromRuns(runs, { machine, sheet, epoch_utc_s }));
  }
  if (tallies.length > 0 && sheet.paddle === undefined) {
    results.push(failure(noPaddleSheet(sheet)));
  } else if (tallies.length > 0) {
    const context = { machine, epoch_utc_s, ...fixesOfRuns(runs, epoch_utc_s) };
    const times = (columns: TallyColumns) => tallyTimes(columns, context);
    const { parts, notices } = untoldParts(tallies, times, results, epoch_utc_s);
    results.push(
      ...withNotices(parts.length > 0 ? machineFromTallies(parts, context) : undefined, notices, results),
    );
  }
  if (flows.length > 0) {
    const times = ({ utc_s }: FlowLogColumns) => utc_s.map((s) => s - epoch_utc_s);
    const { parts, notices } = untoldParts(flows, times, results, epoch_utc_s);
    const fields = season.fields.map(({ name }) => name);
    const made = parts.length > 0 ? machineFromFlows(parts, { machine, epoch_utc_s, fields }) : undefined;
    results.push(...withNotices(made, notices, results));
  }
  return results;
}

/** Rows of logs of one kind that none of the records made before tells of, and a notice on each log that loses some. */
function untoldParts<Columns extends { readonly source: string }>(
  logs: readonly { readonly reading: { readonly rows: Columns }; readonly field: number }[],
  timesOf: (columns: Columns) => Float64Array,
  before: readonly Result<MachineRecord>[],
  epoch_utc_s: number,
): { parts: { columns: Columns; field: number }[]; notices: Notice[] } {
  const notices: Notice[] = [];
  const told = before.flatMap((result) => (result.ok ? [result.value] : []));
  const spans = told.flatMap(toldSpans);
  const by = told.map(({ source }) => source).join(', ');
  const parts = logs.flatMap(({ reading, field }) => {
    const t_s = timesOf(reading.rows);
    const { columns, told_s } = withoutTold(reading.rows, t_s, spans);
    if (told_s.length > 0) notices.push(toldTwice(columns.source, by, told_s, t_s.length, epoch_utc_s));
    return told_s.length > 0 && told_s.length === t_s.length ? [] : [{ columns, field }];
  });
  return { parts, notices };
}

/** A result with more notices before its own; where there is none, they go with the last result there is. */
function withNotices(
  made: Result<MachineRecord> | undefined,
  notices: readonly Notice[],
  before: Result<MachineRecord>[],
): Result<MachineRecord>[] {
  const bearer = made ?? before.pop();
  return bearer === undefined ? [] : [{ ...bearer, notices: [...bearer.notices, ...notices] }];
}

/** Fixes and clocks of runs that stand beside tally rows. */
function fixesOfRuns(
  runs: readonly HintedRun[],
  epoch_utc_s: number,
): Pick<TallyContext, 'fixes' | 'clocks'> {
  const clocks: CounterClock[] = [];
  const parts: { fixes: TimedFixes; field: number }[] = [];
  for (const { run, field } of runs) {
    const { tick_us, utc_s } = run.fixes;
    if (tick_us.length === 0) continue;
    const solved = estimateClock(tick_us, utc_s, run.source);
    const clock = solved.ok ? solved.value : undefined;
    parts.push({ fixes: timedFixes(run.fixes, clock, epoch_utc_s), field });
    if (clock !== undefined)
      clocks.push({ clock, first_us: tick_us[0], last_us: tick_us[tick_us.length - 1] });
  }
  return { fixes: parts.length > 0 ? joinFixes(parts) : undefined, clocks };
}

/** Midnight UTC before the season's first known moment; 0 when no file knows the time. */
function epochOf(logs: readonly MachineLogs[]): number {
  let first_s = Number.POSITIVE_INFINITY;
  const see = (utc_s: Float64Array) => {
    for (const s of utc_s) if (s < first_s) first_s = s;
  };
  for (const { runs, tallies, flows } of logs) {
    for (const { run } of runs) see(run.fixes.utc_s);
    for (const { reading } of tallies) see(reading.rows.utc_s);
    for (const { reading } of flows) see(reading.rows.utc_s);
  }
  return Number.isFinite(first_s) ? Math.floor(first_s / DAY_S) * DAY_S : 0;
}
