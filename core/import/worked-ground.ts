/**
 * Where was harvested, as square cells of the ground, and which cells belong together: the fields of a log that nobody has
 * drawn a boundary for. Roads are left out, for a field is worked side by side and a road is driven once.
 */
import type { LocalFrame } from '../track/local-frame.ts';
import { isHarvesting, type TrackSamples } from './track-samples.ts';

/** Side of a cell, m: two or three passes run through each. */
export const CELL_M = 20;
/** Samples stand for three seconds; so many of them in a cell and its eight neighbours are work, not passage. Ours. */
const WORKED_SAMPLES = 12;
/** Cells up to so many steps apart are one field: waterways, tramlines and point rows leave gaps. */
const REACH_CELLS = 3;
/** Fewer worked cells (0.4 ha) are a turn on the neighbour's land, not a field. Ours. */
const FEWEST_CELLS = 10;

/** Cells of one piece of ground that was worked, with the samples in it. */
export interface WorkedGround {
  /** As `cellKey` numbers them. */
  readonly cells: ReadonlySet<number>;
  /** Indices into the samples. */
  readonly samples: Int32Array;
}

/** Pieces of worked ground, the largest first. */
export function workedGround(samples: TrackSamples, frame: LocalFrame): WorkedGround[] {
  const cellOf = cellsOfSamples(samples, frame);
  const counts = new Map<number, number>();
  for (const cell of cellOf) if (cell !== NO_CELL) counts.set(cell, (counts.get(cell) ?? 0) + 1);
  const worked = new Set<number>();
  for (const cell of counts.keys()) if (countAround(cell, counts) >= WORKED_SAMPLES) worked.add(cell);
  const piece = piecesOf(worked);
  const cells = new Map<number, Set<number>>();
  for (const [cell, p] of piece) addTo(cells, p, cell);
  const rows = new Map<number, number[]>();
  cellOf.forEach((cell, i) => {
    const p = piece.get(cell);
    if (p === undefined) return;
    const own = rows.get(p);
    if (own === undefined) rows.set(p, [i]);
    else own.push(i);
  });
  return [...cells]
    .filter(([, own]) => own.size >= FEWEST_CELLS)
    .map(([p, own]) => ({ cells: own, samples: Int32Array.from(rows.get(p) ?? []) }))
    .sort((a, b) => b.cells.size - a.cells.size);
}

/** Columns and rows reach so far either side of the frame's origin: 20,000 km. */
const REACH = 2 ** 20;
const SPAN = 2 * REACH;
const NO_CELL = -1;

/** Column and row of a cell as one number. */
export function cellKey(column: number, row: number): number {
  return (column + REACH) * SPAN + row + REACH;
}

export function cellAt(key: number): readonly [column: number, row: number] {
  const column = Math.floor(key / SPAN);
  return [column - REACH, key - column * SPAN - REACH];
}

/** The cell in which each sample harvests; `NO_CELL` where it does not. */
function cellsOfSamples(samples: TrackSamples, frame: LocalFrame): Float64Array {
  const { east_m, north_m } = frame.toPlane(samples.longitude_deg, samples.latitude_deg);
  return samples.utc_s.map((_, i) =>
    isHarvesting(samples, i) && Number.isFinite(east_m[i] + north_m[i])
      ? cellKey(Math.floor(east_m[i] / CELL_M), Math.floor(north_m[i] / CELL_M))
      : NO_CELL,
  );
}

function countAround(cell: number, counts: ReadonlyMap<number, number>): number {
  return around(cell, 1).reduce((sum, near) => sum + (counts.get(near) ?? 0), 0);
}

function addTo(sets: Map<number, Set<number>>, key: number, member: number): void {
  const set = sets.get(key);
  if (set === undefined) sets.set(key, new Set([member]));
  else set.add(member);
}

/** Connected pieces, cells within `REACH_CELLS` of each other being connected: cell → number of its piece. */
function piecesOf(cells: ReadonlySet<number>): Map<number, number> {
  const piece = new Map<number, number>();
  let pieces = 0;
  for (const start of cells) {
    if (piece.has(start)) continue;
    const waiting = [start];
    piece.set(start, pieces);
    for (let cell = waiting.pop(); cell !== undefined; cell = waiting.pop()) {
      for (const near of around(cell, REACH_CELLS)) {
        if (!cells.has(near) || piece.has(near)) continue;
        piece.set(near, pieces);
        waiting.push(near);
      }
    }
    pieces++;
  }
  return piece;
}

/** The cell and those up to `steps` from it. */
export function around(cell: number, steps: number): number[] {
  const near: number[] = [];
  for (let c = -steps; c <= steps; c++) {
    for (let r = -steps; r <= steps; r++) near.push(cell + c * SPAN + r);
  }
  return near;
}
