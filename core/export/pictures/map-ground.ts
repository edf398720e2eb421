/** The coloured ground of a map: a field's surface, or the swaths of its points. */
import type { FieldPoints } from '../../result.ts';
import type { CellGrid } from '../../surface/cell-grid.ts';
import { classesOf } from '../../surface/classes.ts';
import { zonesOf } from '../../surface/zones.ts';
import { tHaFromKgM2 } from '../../units.ts';
import { point, type Shape } from '../document/drawing.ts';
import { type Classes, classOf } from '../report/colour-classes.ts';
import type { YieldScale } from '../report/figures.ts';
import { swathStrips } from '../report/swath-strips.ts';
import { PRINT } from './palette.ts';
import type { PictureFrame } from './picture-frame.ts';

/** A field's surface, as it was made. */
export interface MappedSurface {
  readonly grid: CellGrid;
  /** Cells of the grid, one row each in the columns. */
  readonly cells: Int32Array;
  readonly yield_kg_m2: Float64Array;
  /** `kriging`, `inverse_distance` or `block_mean`. */
  readonly method: string;
}

/** A surface in the units that are shown. */
export interface ShownSurface {
  readonly grid: CellGrid;
  readonly cells: Int32Array;
  readonly shown: Float64Array;
}

/** Classes of colour in the units that are shown. */
export interface Colouring {
  readonly classes: Classes;
  readonly scale: YieldScale;
}

/** Cells smaller than this on paper are drawn several at once. */
const LEAST_CELL_POINTS = 1.1;
/** Fills reach so far over their own line, lest white shows between neighbours. */
const OVERLAP = 0.4;

/** The classes of a surface as smooth patches without gap: lines keep within a third of a cell of its cells. */
export function surfaceShapes(
  surface: ShownSurface,
  classes: Classes,
  frame: PictureFrame,
  outline: readonly Float64Array[],
): Shape[] {
  const drawn = drawnGrid(surface, frame);
  const { grid, column } = outline.length > 0 ? grown(grown(drawn)) : drawn;
  const classOfCell = classesOf(column, classes.limits);
  // two cells make no patch of their own: that would be speckle
  const { zones } = zonesOf(grid, classOfCell, { least_area_m2: 2.5 * grid.cell_m ** 2 });
  const paths = classes.colours.map(() => [] as string[]);
  for (const zone of zones) for (const ring of zone.rings) paths[zone.class].push(ringPath(ring, frame));
  const shapes = paths.flatMap((rings, index) => filled(rings.join(''), classes.colours[index]));
  if (outline.length === 0) return shapes;
  return [{ kind: 'clipped', within: outline.map((ring) => ringPath(ring, frame)).join(''), shapes }];
}

/** A grid with a yield for every cell of it, NaN where there is no surface. */
interface YieldGrid {
  readonly grid: CellGrid;
  readonly column: Float64Array;
}

/** One cell further on all sides, by the mean of its neighbours: at the boundary the colour is then cut, not stepped. */
function grown({ grid, column }: YieldGrid): YieldGrid {
  const wide: CellGrid = {
    ...grid,
    west_m: grid.west_m - grid.cell_m,
    south_m: grid.south_m - grid.cell_m,
    columns: grid.columns + 2,
    rows: grid.rows + 2,
  };
  const inner = new Float64Array(wide.columns * wide.rows).fill(Number.NaN);
  for (let row = 0; row < grid.rows; row++)
    inner.set(column.subarray(row * grid.columns, (row + 1) * grid.columns), (row + 1) * wide.columns + 1);
  const outer = inner.slice();
  for (let cell = 0; cell < inner.length; cell++) {
    if (!Number.isNaN(inner[cell])) continue;
    let sum = 0;
    let count = 0;
    for (const step of [-1, 1, -wide.columns, wide.columns]) {
      const beside = inner[cell + step] ?? Number.NaN;
      if (Number.isNaN(beside)) continue;
      sum += beside;
      count++;
    }
    if (count > 0) outer[cell] = sum / count;
  }
  return { grid: wide, column: outer };
}

/** The grid at a cell size that paper shows, with a yield for every cell of it, NaN outside the field. */
function drawnGrid({ grid, cells, shown }: ShownSurface, frame: PictureFrame): YieldGrid {
  const times = Math.max(1, Math.ceil(LEAST_CELL_POINTS / (grid.cell_m * frame.points_per_m)));
  const coarse: CellGrid = {
    west_m: grid.west_m,
    south_m: grid.south_m,
    cell_m: grid.cell_m * times,
    columns: Math.ceil(grid.columns / times),
    rows: Math.ceil(grid.rows / times),
  };
  const sums = new Float64Array(coarse.columns * coarse.rows);
  const counts = new Int32Array(sums.length);
  for (let k = 0; k < cells.length; k++) {
    if (!Number.isFinite(shown[k])) continue;
    const row = Math.floor(Math.floor(cells[k] / grid.columns) / times);
    const place = row * coarse.columns + Math.floor((cells[k] % grid.columns) / times);
    sums[place] += shown[k];
    counts[place]++;
  }
  return {
    grid: coarse,
    column: sums.map((sum, place) => (counts[place] > 0 ? sum / counts[place] : Number.NaN)),
  };
}

/** All ground cut, in the colours of the kept points; what was screened is grey. Earlier swaths lie over later ones. */
export function swathShapes(
  points: FieldPoints,
  { classes, scale }: Colouring,
  widthOf: (row: number) => number,
  frame: PictureFrame,
): Shape[] {
  const isKept = (row: number) => points.screened_by[row] === 0;
  const ghost = classes.colours.length;
  const kept = swathStrips(points, frame, {
    classOfMean: (mean) => classOf(classes, scale.from(tHaFromKgM2(mean))),
    widthOf,
    isDrawn: isKept,
  });
  const screened = swathStrips(points, frame, {
    classOfMean: () => ghost,
    widthOf,
    isDrawn: (row) => !isKept(row),
  });
  const strips = [...kept, ...screened].sort((a, b) => b.t_s - a.t_s);
  const runs: { index: number; paths: string[] }[] = [];
  for (const { index, path } of strips) {
    const last = runs.at(-1);
    if (last?.index === index) last.paths.push(path);
    else runs.push({ index, paths: [path] });
  }
  return runs.flatMap(({ index, paths }) =>
    filled(paths.join(''), index === ghost ? PRINT.ghost : classes.colours[index]),
  );
}

/** Rings of the field's plane (interleaved east, north) as path data. */
export function ringPath(ring: Float64Array, frame: PictureFrame): string {
  const corners: string[] = [];
  for (let k = 0; k + 1 < ring.length; k += 2)
    corners.push(`${point(frame.x(ring[k]))} ${point(frame.y(ring[k + 1]))}`);
  return `M${corners.join(' ')}z`;
}

/** A patch of colour that closes up with its neighbours. */
export function filled(d: string, colour: string): Shape[] {
  return d === '' ? [] : [{ kind: 'path', d, fill: colour, stroke: colour, width: OVERLAP }];
}
