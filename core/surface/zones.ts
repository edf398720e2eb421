/** Zones: the classes of a surface as polygons that cover it without gap or overlap. */
import { geodesicPolygonArea } from '../track/geodesic.ts';
import type { LocalFrame } from '../track/local-frame.ts';
import type { CellGrid } from './cell-grid.ts';
import { MOST_SHARE, patchRings, smoothedCorners, type ZoneCorners } from './zone-lines.ts';
import { zonePatches } from './zone-patches.ts';

export interface ZoneOptions {
  /** Smaller patches go to a neighbour; 500 m² when absent: two headers' length square, about; common practice, no source. */
  readonly least_area_m2?: number;
  /** How far a line may run from the sides of its cells; at most, and when absent, 0.35 of a cell. */
  readonly tolerance_m?: number;
}

export interface Zone {
  /** Index of its class. */
  readonly class: number;
  /** Interleaved east, north, m, not closed: the outer ring counter-clockwise, then holes clockwise. */
  readonly rings: readonly Float64Array[];
  readonly cells: number;
  /** In the field's plane. */
  readonly area_m2: number;
}

export interface ZoneMap {
  readonly zones: readonly Zone[];
  /** Zone of each cell of the grid; −1 where there is no surface. */
  readonly zoneOf: Int32Array;
  /** Patches that were too small for a zone of their own. */
  readonly merged: number;
  /** How far lines may run from the sides of the cells, m. */
  readonly tolerance_m: number;
}

/** What `least_area_m2` is when it is absent. */
export const LEAST_AREA_M2 = 500;
/** Three corners nearer to one line than this share of a cell are on it. */
const STRAIGHT = 1e-9;

/** Zones of a grid's classes (−1 none). Throws RangeError when there is not a class for every cell. */
export function zonesOf(grid: CellGrid, classOfCell: Int32Array, options: ZoneOptions = {}): ZoneMap {
  if (classOfCell.length !== grid.columns * grid.rows)
    throw new RangeError(`${grid.columns * grid.rows} cells have ${classOfCell.length} classes`);
  const { least_area_m2 = LEAST_AREA_M2 } = options;
  const tolerance_m = Math.min(options.tolerance_m ?? Number.POSITIVE_INFINITY, MOST_SHARE * grid.cell_m);
  const cell_m2 = grid.cell_m ** 2;
  const patches = zonePatches(grid, classOfCell, least_area_m2 / cell_m2 - 1e-9);
  const corners = smoothedCorners(grid, patches.patchOf, tolerance_m);
  const rings = patchRings(grid, patches.patchOf, patches.classes.length);
  const zones = rings.map((zoneRings, zone): Zone => {
    const lines = zoneRings.map((ring) => withoutStraight(ring, corners, grid.cell_m));
    const areas = lines.map(planeArea_m2);
    const outer = areas.findIndex((area_m2) => area_m2 > 0);
    return {
      class: patches.classes[zone],
      rings: [lines[outer], ...lines.filter((_, k) => k !== outer)],
      cells: patches.cells[zone],
      area_m2: areas.reduce((sum, area_m2) => sum + area_m2, 0),
    };
  });
  return { zones, zoneOf: patches.patchOf, merged: patches.merged, tolerance_m };
}

/** Positive for rings that run counter-clockwise. */
export function planeArea_m2(ring: Float64Array): number {
  const n = ring.length / 2;
  const [east0, north0] = [ring[0], ring[1]];
  let twice = 0;
  for (let a = n - 1, b = 0; b < n; a = b++) {
    const [ax, ay] = [ring[2 * a] - east0, ring[2 * a + 1] - north0];
    const [bx, by] = [ring[2 * b] - east0, ring[2 * b + 1] - north0];
    twice += ax * by - bx * ay;
  }
  return twice / 2;
}

/** Area on the ellipsoid, holes taken off [Karney2013]. */
export function zoneArea_m2(zone: Pick<Zone, 'rings'>, frame: LocalFrame): number {
  let area_m2 = 0;
  for (const ring of zone.rings) {
    const { longitude_deg, latitude_deg } = frame.toGeographic(
      ring.filter((_, k) => k % 2 === 0),
      ring.filter((_, k) => k % 2 === 1),
    );
    area_m2 += geodesicPolygonArea(longitude_deg, latitude_deg).area_m2;
  }
  return area_m2;
}

/** The ring without corners on the line through their neighbours, judged alike from either side; nodes stay. */
function withoutStraight(ring: readonly number[], corners: ZoneCorners, cell_m: number): Float64Array {
  const { east_m, north_m, isNode } = corners;
  const kept: number[] = [];
  for (let k = 0; k < ring.length; k++) {
    const [before, corner, after] = [ring.at(k - 1) ?? 0, ring[k], ring[(k + 1) % ring.length]];
    const [ax, ay] = [east_m[corner] - east_m[before], north_m[corner] - north_m[before]];
    const [bx, by] = [east_m[after] - east_m[corner], north_m[after] - north_m[corner]];
    const isStraight = Math.abs(ax * by - ay * bx) <= STRAIGHT * cell_m ** 2;
    if (!isStraight || isNode[corner] === 1) kept.push(east_m[corner], north_m[corner]);
  }
  return Float64Array.from(kept);
}
