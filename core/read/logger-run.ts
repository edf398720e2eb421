/**
 * What the readers of logger files hand on: raw columns of one *run* of a logger (one uninterrupted stretch of
 * its free-running counter), before any clock, filter or physics.
 *
 * `tick_us` columns are microseconds of the logger's counter, unwrapped (a 32-bit wrap adds 2^32) but not
 * re-zeroed, so that files which share a counter can be laid over each other. Doubles hold them exactly.
 * NaN means absent. Rows are in counter order.
 */
import type { Damage } from '../errors.ts';

/** Light-beam edges as logged, chatter, repeats and all. `dark[i]` is 1 when the beam became interrupted. */
export interface BeamEdges {
  readonly tick_us: Float64Array;
  readonly dark: Uint8Array;
}

/**
 * GNSS fixes, one row an epoch (sentences of one epoch joined on UTC).
 * `tick_us` is the counter at the first sentence of the epoch; NaN in bare NMEA files.
 */
export interface FixColumns {
  readonly tick_us: Float64Array;
  /** Unix seconds UTC, with fraction; NaN when the receiver had no time or no date yet. */
  readonly utc_s: Float64Array;
  readonly latitude_deg: Float64Array;
  readonly longitude_deg: Float64Array;
  /** Metres above mean sea level. */
  readonly altitude_m: Float64Array;
  readonly speed_m_s: Float64Array;
  /** True course over ground, degrees 0..360. */
  readonly course_deg: Float64Array;
  /** GGA quality indicator (0 none, 1 single, 2 differential, 4 RTK fixed, 5 RTK float, 6 estimated …). */
  readonly quality: Float64Array;
  readonly satellites: Float64Array;
  readonly hdop: Float64Array;
}

/** Grain moisture, % wet basis. */
export interface MoistureColumns {
  readonly tick_us: Float64Array;
  readonly moisture_pct: Float64Array;
}

/** Header switch: `up[i]` is 1 when the header was reported up. */
export interface HeaderColumns {
  readonly tick_us: Float64Array;
  readonly up: Uint8Array;
}

/** Machine tilt: nose up and right side down positive. */
export interface TiltColumns {
  readonly tick_us: Float64Array;
  readonly pitch_deg: Float64Array;
  readonly roll_deg: Float64Array;
}

/** How many edges of a beam a run holds, and between which counters (NaN when none). */
export interface BeamExtent {
  readonly edges: number;
  readonly first_us: number;
  readonly last_us: number;
}

/** `Beam` is what was made of the run's edges. */
export interface LoggerRun<Beam> {
  /** File (or files) that it came from. */
  readonly source: string;
  readonly beam: Beam;
  readonly fixes: FixColumns;
  readonly moisture: MoistureColumns;
  readonly header: HeaderColumns;
  readonly tilt: TiltColumns;
}

/** A whole tick-log, edge or NMEA file as read. */
export interface TickLogReading<Beam> {
  readonly runs: readonly LoggerRun<Beam>[];
  readonly lines: number;
  readonly damage: readonly Damage[];
}

/**
 * A tally log as read: one row an interval that ends at `time`. Either `utc_s` or `tick_us` is filled, the other NaN.
 * `up` is NaN where the header is not logged.
 */
export interface TallyColumns {
  readonly source: string;
  readonly utc_s: Float64Array;
  readonly tick_us: Float64Array;
  readonly paddles: Float64Array;
  readonly dark_s: Float64Array;
  readonly moisture_pct: Float64Array;
  readonly up: Float64Array;
  readonly latitude_deg: Float64Array;
  readonly longitude_deg: Float64Array;
  readonly speed_m_s: Float64Array;
  readonly course_deg: Float64Array;
}

export interface TallyReading {
  readonly rows: TallyColumns;
  readonly lines: number;
  readonly damage: readonly Damage[];
}

/**
 * A log that already carries a flow, as read through a column mapping: one row an interval that ends at its time.
 * Either `mass_flow_kg_s` or `volume_flow_m3_s` is filled.
 */
export interface FlowLogColumns {
  readonly source: string;
  readonly utc_s: Float64Array;
  readonly interval_s: Float64Array;
  readonly latitude_deg: Float64Array;
  readonly longitude_deg: Float64Array;
  readonly altitude_m: Float64Array;
  readonly mass_flow_kg_s: Float64Array;
  readonly volume_flow_m3_s: Float64Array;
  readonly distance_m: Float64Array;
  readonly speed_m_s: Float64Array;
  readonly swath_m: Float64Array;
  readonly heading_deg: Float64Array;
  readonly moisture_pct: Float64Array;
  readonly up: Float64Array;
  readonly quality: Float64Array;
  /** Name of the field of each row as logged; only where the mapping names such a column. */
  readonly field?: readonly string[];
}

export interface FlowLogReading {
  readonly rows: FlowLogColumns;
  readonly lines: number;
  readonly damage: readonly Damage[];
}
