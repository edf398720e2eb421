/**
 * Where a machine was: types that the track stages hand on. All columns of one machine, ascending `t_s`
 * (seconds from the season's epoch), metres east and north of the field frame's origin.
 */

/** Fixes after the clock stage: UTC known, still geographic, still raw. NaN = absent. */
export interface TimedFixes {
  readonly t_s: Float64Array;
  readonly latitude_deg: Float64Array;
  readonly longitude_deg: Float64Array;
  readonly altitude_m: Float64Array;
  readonly speed_m_s: Float64Array;
  readonly course_deg: Float64Array;
  readonly quality: Float64Array;
  readonly satellites: Float64Array;
  readonly hdop: Float64Array;
}

/** The smoothed antenna track: one row a usable fix. */
export interface Track {
  readonly t_s: Float64Array;
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  readonly speed_m_s: Float64Array;
  /** Direction in which the machine's nose points, radians clockwise from north, held when standing or reversing. */
  readonly heading_rad: Float64Array;
  /** Standard error of the smoothed horizontal position, one axis. */
  readonly position_se_m: Float64Array;
  readonly altitude_m: Float64Array;
  readonly quality: Float64Array;
  /** 1 where the machine drove backwards. */
  readonly reversing: Uint8Array;
  /** 1 where the fix was thrown out as an outlier and replaced by the smoother's own position. */
  readonly replaced: Uint8Array;
}

/**
 * The swaths of a field, one row an interval between two fixes, ascending in time over *all* machines.
 * A row is the ribbon that the header swept from line 0 to line 1 (its middle and heading at both ends).
 */
export interface Swaths {
  readonly t0_s: Float64Array;
  readonly t1_s: Float64Array;
  /** Index of the machine. */
  readonly machine: Int32Array;
  /** Pass number within the machine, −1 where the header was not cutting. */
  readonly pass: Int32Array;
  readonly east0_m: Float64Array;
  readonly north0_m: Float64Array;
  readonly heading0_rad: Float64Array;
  readonly east1_m: Float64Array;
  readonly north1_m: Float64Array;
  readonly heading1_rad: Float64Array;
  readonly header_width_m: Float64Array;
  /** Standard error of the header's position across the pass. */
  readonly position_se_m: Float64Array;
}

/** How much of each swath was fresh ground. */
export interface CutWidthSolution {
  /** Mean fresh width of the row, 0..header width; 0 where not cutting. */
  readonly cut_width_m: Float64Array;
  /** Fresh ground of the row; their sum is the area of the field. */
  readonly fresh_area_m2: Float64Array;
}
