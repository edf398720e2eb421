/** Where a machine works on ground of somebody else: what it does not cut there is none of this field's either. */

/** One row a point, in time order within each machine. */
export interface WorkedRows {
  readonly machine: Int32Array;
  /** −1 where it was not cutting. */
  readonly pass: Int32Array;
  readonly duration_s: Float64Array;
  /** 1 outside the field's boundary. */
  readonly outside: Uint8Array;
}

/**
 * After so long of cutting outside nothing of the field's own grain is in the machine, s: several times the longest mixing and
 * lag. A pass that ends a little beyond the boundary is not elsewhere. Ours.
 */
const ELSEWHERE_S = 60;

/**
 * 1 where the machine is outside, not cutting, and has cut outside for a minute since it last cut inside: its grain, which
 * runs out on turns, is that of the ground over there.
 */
export function elsewhere({ machine, pass, duration_s, outside }: WorkedRows): Uint8Array {
  const marks = new Uint8Array(pass.length);
  /** By machine, which are few and numbered from 0: time of cutting outside since it last cut inside. */
  const cutOutside_s: number[] = [];
  for (let i = 0; i < pass.length; i++) {
    const so_far_s = cutOutside_s[machine[i]] ?? 0;
    if (pass[i] >= 0) cutOutside_s[machine[i]] = outside[i] === 1 ? so_far_s + duration_s[i] : 0;
    else if (outside[i] === 1 && so_far_s >= ELSEWHERE_S) marks[i] = 1;
  }
  return marks;
}
