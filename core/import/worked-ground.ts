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
  /** Keys of `cellKey`. */
  readonly cells: ReadonlySet<string>;
  /** Indices into the samples. */
  readonly samples: Int32Array;
}

/** Pieces of worked ground, the largest first. */
export function workedGround(samples: TrackSamples, frame: LocalFrame): WorkedGround[] {
  const cellOf = cellsOfSamples(samples, frame);
  const counts = new Map<string, number>();
  cellOf.forEach((cell) => {
    if (cell !== undefined) counts.set(cell, (counts.get(cell) ?? 0) + 1);
  });
  const worked = new Set([...counts.keys()].filter((cell) => countAround(cell, counts) >= WORKED_SAMPLES));
  const piece = piecesOf(worked);
  const cells = new Map<number, Set<string>>();
  for (const [cell, p] of piece) cells.set(p, (cells.get(p) ?? new Set()).add(cell));
  const rows = new Map<number, number[]>();
  cellOf.forEach((cell, i) => {
    const p = cell === undefined ? undefined : piece.get(cell);
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

/** Column and row of a cell as one key. */
export function cellKey(column: number, row: number): string {
  return `${column},${row}`;
}

export function cellAt(key: string): readonly [column: number, row: number] {
  const comma = key.indexOf(',');
  return [Number(key.slice(0, comma)), Number(key.slice(comma + 1))];
}

/** The cell in which each sample harvests; undefined where it does not. */
function cellsOfSamples(samples: TrackSamples, frame: LocalFrame): (string | undefined)[] {
  const { east_m, north_m } = frame.toPlane(samples.longitude_deg, samples.latitude_deg);
  return Array.from(samples.utc_s, (_, i) =>
    isHarvesting(samples, i)
      ? cellKey(Math.floor(east_m[i] / CELL_M), Math.floor(north_m[i] / CELL_M))
      : undefined,
  );
}

function countAround(cell: string, counts: ReadonlyMap<string, number>): number {
  return around(cell, 1).reduce((sum, near) => sum + (counts.get(near) ?? 0), 0);
}

/** Connected pieces, cells within `REACH_CELLS` of each other being connected: cell → number of its piece. */
function piecesOf(cells: ReadonlySet<string>): Map<string, number> {
  const piece = new Map<string, number>();
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
export function around(cell: string, steps: number): string[] {
  const [column, row] = cellAt(cell);
  const near: string[] = [];
  for (let c = column - steps; c <= column + steps; c++) {
    for (let r = row - steps; r <= row + steps; r++) near.push(cellKey(c, r));
  }
  return near;
}
