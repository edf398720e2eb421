/** What the GPU draws of a field, packed: 16 bytes a row that never change, 4 bytes that follow colour and selection. */
import type { ColourScale } from './colour-scale.ts';
import type { Ground } from './ground.ts';
import { atOnce, STEP_ROWS } from './pause.ts';
import type { FieldColumns, RowMask, TimeSpan } from './types.ts';

/** Bits of a row's state. */
export const STATE = { screened: 1, selected: 2, outside_span: 4, colourless: 8, hidden: 16 } as const;
export const SHAPE_BYTES = 16;
export const PAINT_BYTES = 4;

/** Largest half of a swath's side that 16 bits hold, in mm. */
const MOST_HALF_MM = 65_535;

/**
 * Shapes: middle (2 × f32, m), direction of travel (2 × i16, normalised), half length and half width (2 × u16, mm).
 * Rows stand in reverse: what was cut first is drawn last and stays on top, since later swaths overlap ground already cut.
 */
export function packShapes(columns: FieldColumns, ground: Ground): ArrayBuffer {
  return atOnce(shapeSteps(columns, ground));
}

/** The same, in steps between which the window can breathe. */
export function* shapeSteps(columns: FieldColumns, ground: Ground): Generator<void, ArrayBuffer> {
  const buffer = new ArrayBuffer(SHAPE_BYTES * ground.rows);
  const floats = new Float32Array(buffer);
  const shorts = new Int16Array(buffer);
  const sizes = new Uint16Array(buffer);
  for (let row = 0; row < ground.rows; row++) {
    if (row % STEP_ROWS === 0) yield;
    const at = ground.rows - 1 - row;
    const heading_rad = columns.heading_rad[row] || 0;
    floats[4 * at] = ground.xy_m[2 * row];
    floats[4 * at + 1] = ground.xy_m[2 * row + 1];
    shorts[8 * at + 4] = Math.round(32_767 * Math.sin(heading_rad));
    shorts[8 * at + 5] = Math.round(32_767 * Math.cos(heading_rad));
    sizes[8 * at + 6] = halfMm(columns.distance_m[row]);
    sizes[8 * at + 7] = halfMm(columns.cut_width_m[row]);
  }
  return buffer;
}

export interface PaintChoice {
  /** Displayed numbers by row. */
  readonly numbers: Float64Array;
  readonly scale: ColourScale;
  readonly fade: 'none' | 'by_error';
}

/** Relative standard error at which a swath begins to fade, and at which it has faded most. */
export const FADE = { from: 0.1, to: 0.5, most: 0.75 };

/** Colours: place along the ramp (u16, normalised), strength (u8: 255 full), state (u8). Fills `paint`, of 4 bytes a row. */
export function packColours(paint: ArrayBuffer, columns: FieldColumns, choice: PaintChoice): void {
  atOnce(colourSteps(paint, columns, choice));
}

/** The same, in steps between which the window can breathe. */
export function* colourSteps(
  paint: ArrayBuffer,
  columns: FieldColumns,
  choice: PaintChoice,
): Generator<void, void> {
  const rows = columns.t_s.length;
  const places = new Uint16Array(paint);
  const bytes = new Uint8Array(paint);
  for (let row = 0; row < rows; row++) {
    if (row % STEP_ROWS === 0) yield;
    const at = rows - 1 - row;
    const number = choice.numbers[row];
    places[2 * at] = Number.isNaN(number) ? 0 : Math.round(65_535 * choice.scale.positionOf(number));
    bytes[4 * at + 2] = choice.fade === 'none' ? 255 : Math.round(255 * strengthOf(columns, row));
    bytes[4 * at + 3] =
      (bytes[4 * at + 3] & ~STATE.colourless) | (Number.isNaN(number) ? STATE.colourless : 0);
  }
}

/** States: screened, selected, in the span; leaves the colours as they are. */
export function packStates(
  paint: ArrayBuffer,
  columns: FieldColumns,
  selection: RowMask | null,
  span: TimeSpan | null,
): void {
  const rows = columns.t_s.length;
  const bytes = new Uint8Array(paint);
  for (let row = 0; row < rows; row++) {
    const at = 4 * (rows - 1 - row) + 3;
    let state = bytes[at] & STATE.colourless;
    if (columns.screened_by[row] !== 0) state |= STATE.screened;
    if (selection?.[row] === 1) state |= STATE.selected;
    const t_s = columns.t_s[row];
    if (span && !(t_s >= span.start_s && t_s <= span.end_s)) state |= STATE.outside_span;
    if (!(columns.cut_width_m[row] > 0 && columns.distance_m[row] > 0)) state |= STATE.hidden;
    bytes[at] = state;
  }
}

/** 1 for a well-known yield, falling to 1 − `FADE.most` as its relative standard error grows. */
export function strengthOf(columns: FieldColumns, row: number): number {
  const relative = columns.yield_se_kg_m2[row] / columns.yield_kg_m2[row];
  if (!(relative > FADE.from)) return 1;
  return 1 - FADE.most * Math.min((relative - FADE.from) / (FADE.to - FADE.from), 1);
}

function halfMm(side_m: number): number {
  return side_m > 0 ? Math.min(Math.round(500 * side_m), MOST_HALF_MM) : 0;
}
