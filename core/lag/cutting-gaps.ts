/** Rests in cutting, and which part of the flow speaks of each. Grid rows are `STEP_S` apart. */

/** Grid of the flow and of the ground cut, s. */
export const STEP_S = 0.5;
/** Cutting must rest for at least this long to be a gap, and last this long on either side. */
const GAP_MIN_S = 4;
const CUTTING_MIN_S = 20;
/** Flow looked at before the gap begins and after cutting resumes. */
const BEFORE_S = 10;
export const AFTER_S = 45;
/** Once the lag is roughly known: flow looked at about its fall and its rise. A straight-line yield holds over so short a way. */
const FALL_BEFORE_S = 10;
const FALL_AFTER_S = 16;
const RISE_BEFORE_S = 4;
const RISE_AFTER_S = 16;

export interface Gap {
  /** Grid rows at which cutting stopped and resumed. */
  readonly stop: number;
  readonly resume: number;
  /** Grid rows of the flow that are looked at, ascending. */
  readonly rows: Int32Array;
}

/** Rests in cutting with enough cutting before and after, as windows of the flow. */
export function findGaps(area: Float64Array, grain: Float64Array): Gap[] {
  const spells: { first: number; last: number }[] = [];
  for (let i = 0; i < area.length; i++) {
    if (area[i] <= 0) continue;
    const open = spells[spells.length - 1];
    if (open !== undefined && i - open.last < GAP_MIN_S / STEP_S) open.last = i + 1;
    else spells.push({ first: i, last: i + 1 });
  }
  const long = spells.filter((s) => (s.last - s.first) * STEP_S >= CUTTING_MIN_S);
  const gaps: Gap[] = [];
  for (let k = 1; k < long.length; k++) {
    const before = long[k - 1];
    const after = long[k];
    const first = Math.max(before.first, before.last - BEFORE_S / STEP_S);
    const last = Math.min(after.last, after.first + AFTER_S / STEP_S, area.length);
    const rows = new Int32Array(last - first);
    for (let i = 0; i < rows.length; i++) rows[i] = first + i;
    if (rows.some((row) => grain[row] > 0)) gaps.push({ stop: before.last, resume: after.first, rows });
  }
  return gaps;
}
/** The same gap seen closely: only the rows in which flow falls and rises when the lag is about `rough_s`. */
export function closely(gap: Gap, rough_s: number, length: number): Gap {
  const shift = Math.round(rough_s / STEP_S);
  const rows: number[] = [];
  const add = (from: number, to: number) => {
    for (let i = Math.max(0, from, (rows.at(-1) ?? -1) + 1); i < Math.min(length, to); i++) rows.push(i);
  };
  add(gap.stop + shift - FALL_BEFORE_S / STEP_S, gap.stop + shift + FALL_AFTER_S / STEP_S);
  add(gap.resume + shift - RISE_BEFORE_S / STEP_S, gap.resume + shift + RISE_AFTER_S / STEP_S);
  return { ...gap, rows: Int32Array.from(rows) };
}
