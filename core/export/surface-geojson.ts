/** `surface.geojson` and `zones.geojson`: cells and zones of fields as RFC 7946 GeoJSON, made piece by piece. */
import type { CellGrid } from '../surface/cell-grid.ts';
import type { YieldZones } from '../surface/field-zones.ts';
import type { SurfaceCells } from '../surface/surface-cells.ts';
import { zoneArea_m2 } from '../surface/zones.ts';
import type { LocalFrame } from '../track/local-frame.ts';
import { buAcFromKgM2, haFromM2, tHaFromKgM2 } from '../units.ts';
import { fixedJson } from './number-text.ts';

/** The surface of one field, and what it is told with. */
export interface ExportedSurface {
  readonly field: string;
  readonly crop: string;
  /** NaN for a crop without a bushel. */
  readonly bushel_kg: number;
  readonly frame: LocalFrame;
  readonly grid: CellGrid;
  /** Cells of the grid, one row each in `made`. */
  readonly cells: Int32Array;
  readonly made: SurfaceCells;
  readonly method: string;
}

/** Of a degree: a centimetre. */
const DEGREE_DIGITS = 7;
const CELLS_A_PIECE = 1000;

/** Every cell that has a yield as a square; absent standard errors are `null`. */
export function* surfaceGeojsonPieces(surfaces: readonly ExportedSurface[]): Generator<string> {
  yield opening(surfaces);
  let separator = '\n';
  for (const surface of surfaces) {
    const cornersOf = cellCorners(surface);
    const { made, cells } = surface;
    let lines: string[] = [];
    for (let k = 0; k < cells.length; k++) {
      if (!Number.isFinite(made.yield_kg_m2[k])) continue;
      const properties =
        `${yieldProperties(surface, made.yield_kg_m2[k])},` +
        `"yield_se_t_ha":${fixedJson(tHaFromKgM2(made.yield_se_kg_m2[k]), 3)},"method":"${surface.method}"`;
      lines.push(`${separator}${feature(`[${cornersOf(cells[k])}]`, properties)}`);
      separator = ',\n';
      if (lines.length >= CELLS_A_PIECE) {
        yield lines.join('');
        lines = [];
      }
    }
    yield lines.join('');
  }
  yield '\n]}\n';
}

/** Every zone as a polygon with its class, limits, mean yield and area on the ellipsoid. */
export function* zonesGeojsonPieces(
  zoned: readonly { readonly surface: ExportedSurface; readonly zones: YieldZones }[],
): Generator<string> {
  yield opening(zoned.map(({ surface }) => surface));
  let separator = '\n';
  for (const { surface, zones } of zoned) {
    const { limits_kg_m2 } = zones;
    for (const zone of zones.zones) {
      const limit = (k: number) => fixedJson(tHaFromKgM2(limits_kg_m2[k] ?? Number.NaN), 3);
      const properties =
        `${yieldProperties(surface, zone.mean_yield_kg_m2)},"class":${zone.class + 1},` +
        `"class_from_t_ha":${limit(zone.class - 1)},"class_below_t_ha":${limit(zone.class)},` +
        `"area_ha":${fixedJson(haFromM2(zoneArea_m2(zone, surface.frame)), 4)}`;
      const rings = zone.rings.map((ring) => ringText(surface.frame, ring));
      yield `${separator}${feature(`[${rings.join(',')}]`, properties)}`;
      separator = ',\n';
    }
  }
  yield '\n]}\n';
}

/** With the box around all grids: `bbox` of RFC 7946 §5. */
function opening(surfaces: readonly ExportedSurface[]): string {
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { frame, grid } of surfaces) {
    const { columns, rows, cell_m } = grid;
    const along = Array.from({ length: columns + 1 }, (_, column) => grid.west_m + column * cell_m);
    const up = Array.from({ length: rows + 1 }, (_, row) => grid.south_m + row * cell_m);
    const east_m = [...along, ...along, ...up.map(() => along[0]), ...up.map(() => along[columns])];
    const north_m = [...along.map(() => up[0]), ...along.map(() => up[rows]), ...up, ...up];
    const { longitude_deg, latitude_deg } = frame.toGeographic(east_m, north_m);
    for (let k = 0; k < longitude_deg.length; k++) {
      west = Math.min(west, longitude_deg[k]);
      east = Math.max(east, longitude_deg[k]);
      south = Math.min(south, latitude_deg[k]);
      north = Math.max(north, latitude_deg[k]);
    }
  }
  const box = [west, south, east, north].map((degrees) => fixedJson(degrees, DEGREE_DIGITS));
  return `{"type":"FeatureCollection",${east >= west ? `"bbox":[${box.join(',')}],` : ''}"features":[`;
}

function feature(coordinates: string, properties: string): string {
  return `{"type":"Feature","geometry":{"type":"Polygon","coordinates":${coordinates}},"properties":{${properties}}}`;
}

function yieldProperties({ field, crop, bushel_kg }: ExportedSurface, yield_kg_m2: number): string {
  const bushels = Number.isFinite(bushel_kg)
    ? `,"yield_bu_ac":${fixedJson(buAcFromKgM2(yield_kg_m2, bushel_kg), 2)}`
    : '';
  return `"field":${JSON.stringify(field)},"crop":${JSON.stringify(crop)},"yield_t_ha":${fixedJson(tHaFromKgM2(yield_kg_m2), 3)}${bushels}`;
}

/** The closed ring of a cell; corners of a row of cells are computed once. */
function cellCorners({ frame, grid }: ExportedSurface): (cell: number) => string {
  const lines = new Map<number, readonly string[]>();
  const line = (row: number): readonly string[] => {
    const known = lines.get(row);
    if (known !== undefined) return known;
    const east_m = Float64Array.from(
      { length: grid.columns + 1 },
      (_, column) => grid.west_m + column * grid.cell_m,
    );
    const north_m = east_m.map(() => grid.south_m + row * grid.cell_m);
    const made = positions(frame, east_m, north_m);
    lines.delete(row - 2);
    lines.set(row, made);
    return made;
  };
  return (cell) => {
    const column = cell % grid.columns;
    const row = (cell - column) / grid.columns;
    const [south, north] = [line(row), line(row + 1)];
    const [first, ...others] = [south[column], south[column + 1], north[column + 1], north[column]];
    return `[${[first, ...others, first].join(',')}]`;
  };
}

function ringText(frame: LocalFrame, ring: Float64Array): string {
  const corners = positions(
    frame,
    ring.filter((_, k) => k % 2 === 0),
    ring.filter((_, k) => k % 2 === 1),
  );
  return `[${[...corners, corners[0]].join(',')}]`;
}

function positions(frame: LocalFrame, east_m: Float64Array, north_m: Float64Array): string[] {
  const { longitude_deg, latitude_deg } = frame.toGeographic(east_m, north_m);
  return Array.from(
    longitude_deg,
    (longitude, k) => `[${fixedJson(longitude, DEGREE_DIGITS)},${fixedJson(latitude_deg[k], DEGREE_DIGITS)}]`,
  );
}
