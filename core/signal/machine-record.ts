/**
 * Everything that one machine's logs say, laid on the season's clock: the join of all its runs, tally rows or flow records,
 * whatever the files were. From here on nothing knows of counters or files.
 */
import type { FlowLogColumns } from '../read/logger-run.ts';
import type { TimedFixes } from '../track/track.ts';
import type { ChatterSolution } from './chatter.ts';
import type { ClockSolution } from './clock.ts';
import type { PitchRecord, TimedPaddles } from './flow.ts';
import type { PaddleCounts } from './paddles.ts';

/** Header switch on the season's clock. */
export interface HeaderRecord {
  readonly t_s: Float64Array;
  readonly up: Uint8Array;
}

/** Moisture as logged, % wet basis, on the season's clock; the sensor's own lag is still in it. */
export interface MoistureRecord {
  readonly t_s: Float64Array;
  readonly moisture_pct: Float64Array;
}

/** What is worth knowing of one run's reading. */
export interface RunFacts {
  readonly counts: PaddleCounts;
  readonly chatter: ChatterSolution;
  readonly clock: ClockSolution;
}

/** What measured the grain: single paddles (or tallies of them), or a log that already carries a flow. */
export type GrainRecord =
  | {
      readonly kind: 'paddles';
      readonly paddles: TimedPaddles;
      /** What was found while each run was read; empty for tallies. */
      readonly runs: readonly RunFacts[];
      /** True for single paddles, false for tallies of several. */
      readonly single: boolean;
    }
  | { readonly kind: 'flow'; readonly records: FlowRecords };

/** Flow log rows on a clock that never runs backwards; one row a record. */
export interface FlowRecords {
  readonly columns: FlowLogColumns;
  /** End of the record's interval, ascending, s. */
  readonly t_s: Float64Array;
  readonly interval_s: Float64Array;
}

export interface MachineRecord {
  /** Index into the season's machines. */
  readonly machine: number;
  readonly source: string;
  readonly fixes: TimedFixes;
  /** Index of the field named for the fix's log, −1 where none is. */
  readonly field_hint: Int32Array;
  readonly header: HeaderRecord;
  readonly moisture: MoistureRecord;
  readonly pitch: PitchRecord;
  readonly grain: GrainRecord;
}
