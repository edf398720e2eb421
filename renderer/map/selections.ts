/** Masks of rows: made, joined, counted. */
import type { FieldColumns, RowMask, TimeSpan } from './types.ts';

/** All rows of the pass that `row` belongs to; just the row itself when it is on none. */
export function passMask(columns: FieldColumns, row: number): RowMask {
  const { machine, pass } = columns;
  const mask = new Uint8Array(machine.length);
  mask[row] = 1;
  if (pass[row] < 0) return mask;
  for (let i = 0; i < mask.length; i++) if (machine[i] === machine[row] && pass[i] === pass[row]) mask[i] = 1;
  return mask;
}

/** Rows whose time lies in the span, both ends included. */
export function spanMask(columns: FieldColumns, span: TimeSpan): RowMask {
  const mask = new Uint8Array(columns.t_s.length);
  for (let i = 0; i < mask.length; i++) {
    if (columns.t_s[i] >= span.start_s && columns.t_s[i] <= span.end_s) mask[i] = 1;
  }
  return mask;
}

/** Rows that the screening rule of this place (1 + index into `SCREENING_RULES`; 0: kept) caught. */
export function screenedMask(columns: FieldColumns, screened_by: number): RowMask {
  const mask = new Uint8Array(columns.screened_by.length);
  for (let i = 0; i < mask.length; i++) if (columns.screened_by[i] === screened_by) mask[i] = 1;
  return mask;
}

/** Masks are never written to again: each is counted once, whoever asks. */
const counts = new WeakMap<RowMask, number>();

export function countSelected(mask: RowMask): number {
  const known = counts.get(mask);
  if (known !== undefined) return known;
  let count = 0;
  for (let i = 0; i < mask.length; i++) count += mask[i];
  counts.set(mask, count);
  return count;
}

/** Lines that hands have drawn around rows, by the mask that each made, and by no other. */
const lines = new WeakMap<RowMask, readonly (readonly [longitude_deg: number, latitude_deg: number])[]>();

/** Corners that a drawn line is told by: a hand draws hundreds, of which most say nothing. */
const MOST_CORNERS = 120;

/** Keeps the line that was drawn around the mask's rows, thinned; `ring_deg`: longitude, latitude, … */
export function rememberLine(mask: RowMask, ring_deg: readonly (readonly [number, number])[]): void {
  const every = Math.max(1, Math.ceil(ring_deg.length / MOST_CORNERS));
  const kept = ring_deg.filter((_, k) => k % every === 0);
  if (kept.length >= 3) lines.set(mask, kept);
}

/** The line that was drawn around just these rows; undefined where they were selected otherwise or in several goes. */
export function lineAround(mask: RowMask): readonly (readonly [number, number])[] | undefined {
  return lines.get(mask);
}

/** Rows in either (`add`) or in the first and not the second (`remove`). Throws RangeError when lengths differ. */
export function joinMasks(first: RowMask, second: RowMask, how: 'add' | 'remove'): RowMask {
  if (first.length !== second.length)
    throw new RangeError(`masks of ${first.length} and ${second.length} rows do not go together`);
  const joined = new Uint8Array(first.length);
  for (let i = 0; i < joined.length; i++)
    joined[i] = how === 'add' ? first[i] | second[i] : first[i] & (1 - second[i]);
  return joined;
}
