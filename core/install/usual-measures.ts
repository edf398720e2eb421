/** What is assumed of an elevator where nobody has measured it. */
import type { PaddleSheet } from '../season.ts';

/** Room between paddle and column where the paddle's own measures are not given, mm all in all. A choice of ours. */
const PADDLE_ROOM_MM = 10;
/** Thickness of an agricultural roller chain with its attachment, mm (from memory). */
export const USUAL_CHAIN_MM = 25;

/** The paddle with what is not known of it taken from the column that it runs in. */
export function paddleInColumn(
  paddle: Pick<PaddleSheet, 'pitch_mm' | 'thickness_mm'> &
    Partial<Pick<PaddleSheet, 'width_mm' | 'depth_mm'>>,
  column: { readonly column_depth_mm: number; readonly column_width_mm: number },
): PaddleSheet {
  return {
    pitch_mm: paddle.pitch_mm,
    thickness_mm: paddle.thickness_mm,
    width_mm: paddle.width_mm ?? column.column_width_mm - PADDLE_ROOM_MM,
    depth_mm: paddle.depth_mm ?? column.column_depth_mm - PADDLE_ROOM_MM,
  };
}
