/**
 * One machine's way over the ground in one field as rows, one an interval between bounds: what was under the header when.
 * Everything later is a column beside these rows.
 */

/** Rows ascend in time and do not overlap; positions are on the cutting line, in the field's frame. */
export interface GroundRows {
  readonly t0_s: Float64Array;
  readonly t1_s: Float64Array;
  /** Pass number within machine and field, −1 where nothing was being cut. */
  readonly pass: Int32Array;
  readonly east0_m: Float64Array;
  readonly north0_m: Float64Array;
  readonly heading0_rad: Float64Array;
  readonly east1_m: Float64Array;
  readonly north1_m: Float64Array;
  readonly heading1_rad: Float64Array;
  /** Width that the header could have cut: the header's, or what the log says. */
  readonly header_width_m: Float64Array;
  readonly speed_m_s: Float64Array;
  readonly distance_m: Float64Array;
  readonly position_se_m: Float64Array;
  /** 1 where a fix at either end was missing, thrown out or bridged. */
  readonly no_fix: Uint8Array;
}

/** No row is longer: the longest interval between points (a minute) at the speed of a car. What is, is a leap of the position. */
export const MOST_ROW_M = 1000;

export type GroundRowsColumns = { -readonly [K in keyof GroundRows]: GroundRows[K] };

/** Empty columns for `count` rows. */
export function allocateGroundRows(count: number): GroundRowsColumns {
  const column = () => new Float64Array(count);
  return {
    t0_s: column(),
    t1_s: column(),
    pass: new Int32Array(count).fill(-1),
    east0_m: column(),
    north0_m: column(),
    heading0_rad: column(),
    east1_m: column(),
    north1_m: column(),
    heading1_rad: column(),
    header_width_m: column(),
    speed_m_s: column(),
    distance_m: column(),
    position_se_m: column(),
    no_fix: new Uint8Array(count),
  };
}
