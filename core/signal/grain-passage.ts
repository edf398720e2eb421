/**
 * The grain that has passed the beam by each moment: the one quantity that every later stage reads.
 *
 * Knots `t_s` ascend strictly; `cumulative` rises from 0 and is linear between knots, so that the amount in any
 * interval is a difference and nothing is counted twice or lost, wherever intervals are cut.
 */
import { interpolate } from '../columns.ts';

export interface GrainPassage {
  readonly t_s: Float64Array;
  /** m³ of heaped grain with shape factor 1 (`basis` volume), or kg (`basis` mass). Negative steps are possible near empty. */
  readonly cumulative: Float64Array;
  /**
   * The same with each heap's volume multiplied by its fill, the share of the pitch that it takes up: Σ V·(D − D0), m³. What
   * a gain that changes with the height of heaps adds is in proportion to it. Absent for logs that carry a flow.
   */
  readonly fill_weighted?: Float64Array;
  readonly basis: 'volume' | 'mass';
}

/** Amount that passed between `from_s` and `to_s` (m³ or kg by basis); 0 outside the record. */
export function amountBetween(passage: GrainPassage, from_s: number, to_s: number): number {
  return riseBetween(passage.t_s, passage.cumulative, from_s, to_s);
}

/** Rise of a cumulative column between two moments; 0 outside its knots, and without any. */
export function riseBetween(
  t_s: Float64Array,
  cumulative: Float64Array,
  from_s: number,
  to_s: number,
): number {
  if (t_s.length === 0) return 0;
  return interpolate(t_s, cumulative, to_s) - interpolate(t_s, cumulative, from_s);
}
