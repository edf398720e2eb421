/**
 * Everything that one machine's logs say, laid on the season's clock: the join of all its runs, tally rows or flow records,
 * whatever the files were. From here on nothing knows of counters or files.
 */
import { concatenate } from '../columns.ts';
import type { FlowLogColumns } from '../read/logger-run.ts';
import type { TimedFixes } from '../track/track.ts';
import type { PitchRecord, TimedPaddles } from './flow.ts';
import type { GrainPassage } from './grain-passage.ts';
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

/** What measured the grain: single paddles (or tallies of them), or a log that already carries a flow. */
export type GrainRecord =
  | {
      readonly kind: 'paddles';
      readonly paddles: TimedPaddles;
      readonly counts: readonly PaddleCounts[];
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

/** Fix columns of several sources in time order; rows of equal or falling time are left for the smoother to judge. */
export function joinFixes(parts: readonly TimedFixes[]): TimedFixes {
  const ordered = [...parts].filter((part) => part.t_s.length > 0).sort((a, b) => a.t_s[0] - b.t_s[0]);
  const column = (name: keyof TimedFixes) => concatenate(ordered.map((part) => part[name]));
  return {
    t_s: column('t_s'),
    latitude_deg: column('latitude_deg'),
    longitude_deg: column('longitude_deg'),
    altitude_m: column('altitude_m'),
    speed_m_s: column('speed_m_s'),
    course_deg: column('course_deg'),
    quality: column('quality'),
    satellites: column('satellites'),
    hdop: column('hdop'),
  };
}

/**
 * A clock for flow records that never runs backwards and in which no record overlaps the one before: t′ᵢ = max(tᵢ, t′ᵢ₋₁ + Δtᵢ).
 * A receiver that puts its time back loses nothing that way: the rows after the step are pushed on by a few seconds until
 * the next pause absorbs it. Returns the column and how many rows stepped backwards.
 */
export function forwardClock(
  utc_s: Float64Array,
  interval_s: Float64Array,
  origin_s: number,
): { t_s: Float64Array; backward: number } {
  const t_s = new Float64Array(utc_s.length);
  let backward = 0;
  for (let i = 0; i < utc_s.length; i++) {
    const logged_s = utc_s[i] - origin_s;
    if (i === 0) {
      t_s[i] = logged_s;
      continue;
    }
    if (utc_s[i] <= utc_s[i - 1]) backward++;
    t_s[i] = Math.max(logged_s, t_s[i - 1] + interval_s[i]);
  }
  return { t_s, backward };
}

/** The grain of flow records: each record's amount spread over its own interval, nothing between records. */
export function passageFromRecords(records: FlowRecords): GrainPassage {
  const { columns, t_s, interval_s } = records;
  const byMass = !Number.isNaN(columns.mass_flow_kg_s.find((flow) => !Number.isNaN(flow)) ?? Number.NaN);
  const flow = byMass ? columns.mass_flow_kg_s : columns.volume_flow_m3_s;
  const knots_s = new Float64Array(2 * t_s.length);
  const cumulative = new Float64Array(knots_s.length);
  let total = 0;
  let k = 0;
  for (let i = 0; i < t_s.length; i++) {
    const start_s = t_s[i] - interval_s[i];
    if (k === 0 || start_s > knots_s[k - 1] + 1e-9) {
      knots_s[k] = start_s;
      cumulative[k++] = total;
    }
    total += Number.isNaN(flow[i]) ? 0 : flow[i] * interval_s[i];
    knots_s[k] = t_s[i];
    cumulative[k++] = total;
  }
  return { t_s: knots_s.slice(0, k), cumulative: cumulative.slice(0, k), basis: byMass ? 'mass' : 'volume' };
}
