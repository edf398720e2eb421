/**
 * Grain back to the ground: what passed the beam in [t0 + s, t1 + s] is credited to the interval [t0, t1], s being the
 * shift of the row's field and machine. Nothing is counted twice or lost: where rows do not touch (pauses between
 * records, a change of shift between fields) what passes in between is the remainder of the row before.
 */
import { Interpolation } from '../columns.ts';

/** Moments of the beam between which each row's grain passed; every row begins where, or after, the one before ends. */
export interface BeamSpans {
  readonly from_s: Float64Array;
  readonly to_s: Float64Array;
}

/** One cumulative quantity shared out. */
export interface Credit {
  /** Of each row. */
  readonly row: Float64Array;
  /** What passed after the row and before the next one's grain (the last row: to the end of the record). */
  readonly after: Float64Array;
  /** What passed before the first row's grain. */
  readonly before: number;
}

/**
 * Spans of the rows `t0_s`, `t1_s` of one machine, ascending, not overlapping; `shift_s` one a row. When a shift makes
 * the grain of two rows overlap, the later one begins where the earlier ends.
 */
export function beamSpans(t0_s: Float64Array, t1_s: Float64Array, shift_s: Float64Array): BeamSpans {
  const from_s = new Float64Array(t0_s.length);
  const to_s = new Float64Array(t0_s.length);
  let free_s = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < t0_s.length; i++) {
    from_s[i] = Math.max(free_s, t0_s[i] + shift_s[i]);
    to_s[i] = Math.max(from_s[i], t1_s[i] + shift_s[i]);
    free_s = to_s[i];
  }
  return { from_s, to_s };
}

/** Shares a cumulative column (knots `t_s`, from 0) out to the spans; all zeros where it has no knots. */
export function creditSpans(
  { from_s, to_s }: BeamSpans,
  t_s: Float64Array,
  cumulative: Float64Array,
): Credit {
  const n = from_s.length;
  const row = new Float64Array(n);
  const after = new Float64Array(n);
  if (t_s.length === 0) return { row, after, before: 0 };
  const total = cumulative[cumulative.length - 1];
  const passed = new Interpolation(t_s, cumulative);
  const before = n > 0 ? passed.at(from_s[0]) : total;
  let start = before;
  for (let i = 0; i < n; i++) {
    const end = passed.at(to_s[i]);
    const next = i + 1 < n ? passed.at(from_s[i + 1]) : total;
    row[i] = end - start;
    after[i] = next - end;
    start = next;
  }
  return { row, after, before };
}
