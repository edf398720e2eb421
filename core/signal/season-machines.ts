/** All machines of a season on one clock: every log entry read becomes a record of its machine. */
import { type DataError, failure, type Notice, type Result, success } from '../errors.ts';
import type { LoggerRun } from '../read/logger-run.ts';
import type { MachineLogs, SeasonInputs } from '../read/season-inputs.ts';
import type { Season } from '../season.ts';
import type { TimedFixes } from '../track/track.ts';
import { type ClockSolution, estimateClock } from './clock.ts';
import { machineFromFlows, machineFromTallies } from './machine-from-rows.ts';
import { machineFromRuns } from './machine-from-runs.ts';
import { joinFixes, type MachineRecord } from './machine-record.ts';

export interface SeasonMachines {
  readonly epoch_utc_s: number;
  readonly records: readonly MachineRecord[];
}

const DAY_S = 86_400;

/** Fails with the first machine's error when no machine can be used; others become notices. */
export function machinesOfSeason(season: Season, inputs: SeasonInputs): Result<SeasonMachines> {
  const notices: Notice[] = [];
  const errors: DataError[] = [];
  const records: MachineRecord[] = [];
  const epoch_utc_s = epochOf(inputs);
  for (const logs of inputs.logs) {
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

function recordsOf(season: Season, logs: MachineLogs, epoch_utc_s: number): Result<MachineRecord>[] {
  const { machine } = logs;
  const sheet = season.machines[machine];
  const context = { machine, epoch_utc_s, fields: season.fields.map(({ name }) => name) };
  const results: Result<MachineRecord>[] = [];
  const beams = logs.runs.filter(({ run }) => run.edges.dark.length > 0);
  if (beams.length > 0 || (logs.runs.length > 0 && logs.tallies.length === 0)) {
    results.push(
      machineFromRuns(logs.runs, { machine, sheet, signal: season.settings?.signal, epoch_utc_s }),
    );
  }
  if (logs.tallies.length > 0) {
    const parts = logs.tallies.map(({ reading, field }) => ({ columns: reading.rows, field }));
    const { fixes, clock } = fixesOfRuns(
      logs.runs.map(({ run }) => run),
      epoch_utc_s,
    );
    results.push(machineFromTallies(parts, fixes, clock, context));
  }
  if (logs.flows.length > 0) {
    const parts = logs.flows.map(({ reading, field }) => ({ columns: reading.rows, field }));
    results.push(machineFromFlows(parts, context));
  }
  return results;
}

/** Fixes and clock of runs that stand beside tally rows. */
function fixesOfRuns(
  runs: readonly LoggerRun[],
  epoch_utc_s: number,
): { fixes: TimedFixes | undefined; clock: ClockSolution | undefined } {
  const parts = runs.filter((run) => run.fixes.utc_s.length > 0);
  const clocks = parts.map((run) => estimateClock(run.fixes.tick_us, run.fixes.utc_s, run.source));
  return {
    fixes:
      parts.length > 0
        ? joinFixes(
            parts.map(({ fixes }) => ({ ...fixes, t_s: fixes.utc_s.map((utc_s) => utc_s - epoch_utc_s) })),
          )
        : undefined,
    clock: clocks.flatMap((clock) => (clock.ok ? [clock.value] : []))[0],
  };
}

/** Midnight UTC before the season's first known moment; 0 when no file knows the time. */
function epochOf(inputs: SeasonInputs): number {
  let first_s = Number.POSITIVE_INFINITY;
  const see = (utc_s: Float64Array) => {
    for (const s of utc_s) if (s < first_s) first_s = s;
  };
  for (const { runs, tallies, flows } of inputs.logs) {
    for (const { run } of runs) see(run.fixes.utc_s);
    for (const { reading } of tallies) see(reading.rows.utc_s);
    for (const { reading } of flows) see(reading.rows.utc_s);
  }
  return Number.isFinite(first_s) ? Math.floor(first_s / DAY_S) * DAY_S : 0;
}
