/** The marks of screened points, thinned by zoom so that they never pile up. */
import type { Ground } from './ground.ts';
import { atOnce, STEP_ROWS } from './pause.ts';
import type { FieldColumns } from './types.ts';

/** Cells for thinning: 2^level × this many metres. */
const FINEST_CELL_M = 0.5;
const LEVELS = 14;
export const MARK_BYTES = 12;
/** Least distance of two marks of one reason on the screen, CSS pixels. */
export const MARK_DISTANCE_PX = 15;

export interface ScreenedMarks {
  readonly count: number;
  /** Place (2 × f32, m), reason (u8, as `screened_by`), level (u8), two bytes free; in the order of `rows`. */
  readonly buffer: ArrayBuffer;
  readonly rows: Uint32Array;
}

/** All screened rows with a position. A row's level is that of the coarsest grid in which it is the first in its cell. */
export function screenedMarks(columns: FieldColumns, ground: Ground): ScreenedMarks {
  return atOnce(markSteps(columns, ground));
}

/** The same, in steps between which the window can breathe. */
export function* markSteps(columns: FieldColumns, ground: Ground): Generator<void, ScreenedMarks> {
  const rows = Uint32Array.from(screenedRows(columns, ground));
  const levels = new Uint8Array(rows.length);
  for (let level = 0; level < LEVELS; level++) {
    const cell_m = FINEST_CELL_M * 2 ** level;
    const taken = new Set<number>();
    for (let i = 0; i < rows.length; i++) {
      if (i % STEP_ROWS === 0) yield;
      // Who was thinned out in a finer grid stays out in a coarser one: marks only vanish while zooming out.
      if (levels[i] !== level) continue;
      const across = Math.floor(ground.xy_m[2 * rows[i]] / cell_m) + 2 ** 20;
      const up = Math.floor(ground.xy_m[2 * rows[i] + 1] / cell_m) + 2 ** 20;
      const cell = (across * 2 ** 21 + up) * 16 + columns.screened_by[rows[i]];
      if (taken.has(cell)) continue;
      taken.add(cell);
      levels[i] = level + 1;
    }
  }
  return { count: rows.length, buffer: packed(columns, ground, rows, levels), rows };
}

/** Least level that is drawn when a metre is `px_per_m` CSS pixels. */
export function levelShown(px_per_m: number): number {
  const cells = Math.log2(MARK_DISTANCE_PX / px_per_m / FINEST_CELL_M);
  return Math.min(Math.max(Math.ceil(cells) + 1, 0), LEVELS);
}

function packed(columns: FieldColumns, ground: Ground, rows: Uint32Array, levels: Uint8Array): ArrayBuffer {
  const buffer = new ArrayBuffer(MARK_BYTES * rows.length);
  const floats = new Float32Array(buffer);
  const bytes = new Uint8Array(buffer);
  for (let i = 0; i < rows.length; i++) {
    floats[3 * i] = ground.xy_m[2 * rows[i]];
    floats[3 * i + 1] = ground.xy_m[2 * rows[i] + 1];
    bytes[MARK_BYTES * i + 8] = columns.screened_by[rows[i]];
    bytes[MARK_BYTES * i + 9] = levels[i];
  }
  return buffer;
}

function* screenedRows(columns: FieldColumns, ground: Ground): Generator<number> {
  for (let row = 0; row < ground.rows; row++) {
    if (columns.screened_by[row] === 0) continue;
    if (Number.isFinite(ground.xy_m[2 * row] + ground.xy_m[2 * row + 1])) yield row;
  }
}
