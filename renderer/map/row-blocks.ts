/** Rows in blocks with a box each, so that only those near the screen are drawn. */
import { emptyBox, type Ground, grow } from './ground.ts';

const ROWS_A_BLOCK = 4096;
/** A swath reaches no further from its middle, m. */
const REACH_M = 40;

export interface RowRun {
  /** First row in the order of drawing, which is the order of time turned round. */
  readonly first: number;
  readonly count: number;
}

export interface Bounds {
  readonly west: number;
  readonly east: number;
  readonly south: number;
  readonly north: number;
}

/** Boxes of the blocks in the order of drawing: west, south, east, north, m, of each; nothing lies in an empty one. */
export function blockBoxes({ rows, xy_m }: Ground): Float32Array {
  const blocks = Math.ceil(rows / ROWS_A_BLOCK);
  const boxes = new Float32Array(4 * blocks);
  for (let block = 0; block < blocks; block++) {
    const box = emptyBox();
    const end = Math.min((block + 1) * ROWS_A_BLOCK, rows);
    for (let at = block * ROWS_A_BLOCK; at < end; at++) {
      const row = rows - 1 - at;
      if (Number.isFinite(xy_m[2 * row] + xy_m[2 * row + 1])) grow(box, xy_m[2 * row], xy_m[2 * row + 1]);
    }
    boxes.set(
      [box.east0 - REACH_M, box.north0 - REACH_M, box.east1 + REACH_M, box.north1 + REACH_M],
      4 * block,
    );
  }
  return boxes;
}

/** Runs of rows whose blocks touch `bounds`. */
export function runsWithin(boxes: Float32Array, rows: number, bounds: Bounds): RowRun[] {
  const runs: { first: number; count: number }[] = [];
  for (let block = 0; 4 * block < boxes.length; block++) {
    const [west, south, east, north] = boxes.subarray(4 * block, 4 * block + 4);
    const isOff = west > bounds.east || east < bounds.west || south > bounds.north || north < bounds.south;
    if (isOff) continue;
    const first = block * ROWS_A_BLOCK;
    const count = Math.min(ROWS_A_BLOCK, rows - first);
    const last = runs.at(-1);
    if (last && last.first + last.count === first) last.count += count;
    else runs.push({ first, count });
  }
  return runs;
}
