/**
 * Grain back to the ground: the amount that passed the beam in [t0 + s, t1 + s] is credited to the interval [t0, t1], s being
 * the shift of the row's field and machine. Nothing is counted twice or lost: where rows do not touch (pauses between
 * records, a change of shift between fields) what passes in between is returned as the remainder of the row before.
 */
import { interpolate } from '../columns.ts';
import type { RunningTime } from '../signal/flow.ts';
import type { GrainPassage } from '../signal/grain-passage.ts';

export interface CreditSolution {
  /** m³ or kg (by the passage's basis) of each row. */
  readonly amount: Float64Array;
  /** What passed after the row and before the next one's grain (the last row: to the end of the record). */
  readonly remainder_after: Float64Array;
  /** What passed before the first row's grain. */
  readonly remainder_before: number;
  /** Seconds of running elevator in the row, and in its remainder. */
  readonly running_s: Float64Array;
  readonly running_after_s: Float64Array;
  readonly running_before_s: number;
}

/**
 * Rows `t0_s`, `t1_s` of one machine, ascending, not overlapping; `shift_s` one a row. When a shift makes the grain of two
 * rows overlap, the later one begins where the earlier ends.
 */
export function creditGrain(
  t0_s: Float64Array,
  t1_s: Float64Array,
  shift_s: Float64Array,
  passage: GrainPassage,
  running: RunningTime,
): CreditSolution {
  const n = t0_s.length;
  const grainAt = (at_s: number) => interpolate(passage.t_s, passage.cumulative, at_s);
  const runningAt = (at_s: number) =>
    running.t_s.length > 0 ? interpolate(running.t_s, running.cumulative_s, at_s) : 0;
  const end_s = passage.t_s.length > 0 ? passage.t_s[passage.t_s.length - 1] : 0;
  const amount = new Float64Array(n);
  const remainder_after = new Float64Array(n);
  const running_s = new Float64Array(n);
  const running_after_s = new Float64Array(n);
  let from_s = n > 0 ? t0_s[0] + shift_s[0] : end_s;
  const remainder_before = passage.t_s.length > 0 ? grainAt(from_s) : 0;
  const running_before_s = runningAt(from_s);
  for (let i = 0; i < n; i++) {
    const to_s = Math.max(from_s, t1_s[i] + shift_s[i]);
    const next_s = Math.max(to_s, i + 1 < n ? t0_s[i + 1] + shift_s[i + 1] : end_s);
    if (passage.t_s.length > 0) {
      const at_s = grainAt(to_s);
      amount[i] = at_s - grainAt(from_s);
      remainder_after[i] = next_s > to_s ? grainAt(next_s) - at_s : 0;
    }
    running_s[i] = runningAt(to_s) - runningAt(from_s);
    running_after_s[i] = next_s > to_s ? runningAt(next_s) - runningAt(to_s) : 0;
    from_s = next_s;
  }
  return { amount, remainder_after, remainder_before, running_s, running_after_s, running_before_s };
}
