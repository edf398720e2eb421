/** What every export format is written from: one field's features of one kind, as columns with their units in their names. */
import type { CellGrid } from '../../surface/cell-grid.ts';

/** `points` one a fix; `swaths` the ground that each of them cut; `cells` of the surface; `zones` of its classes. */
export type LayerKind = 'points' | 'swaths' | 'cells' | 'zones';

/** Features of one field, row by row. Layers of a kind have the same columns in the same order, whatever the field. */
export interface ExportLayer {
  readonly kind: LayerKind;
  readonly field: string;
  readonly crop: string;
  readonly rows: number;
  /** % wet basis, what the layer's yields are at; absent where nobody knows. */
  readonly standard_moisture_pct?: number;
  /** The field's boundary, rings as those of a polygon row; absent where it has none. */
  readonly boundary?: readonly Float64Array[];
  readonly geometry: LayerGeometry;
  readonly columns: readonly LayerColumn[];
  /** Of `cells`: the raster that they are. */
  readonly raster?: LayerRaster;
}

/** Where the rows of a layer stand in a grid, whose metres are those of a transverse Mercator plane of scale 1 about its origin on WGS84. */
export interface LayerRaster {
  readonly grid: CellGrid;
  /** Place in the grid of each row. */
  readonly cells: Int32Array;
  readonly longitude0_deg: number;
  readonly latitude0_deg: number;
}

export type LayerGeometry = PointGeometry | PolygonGeometry;

/** WGS84 degrees, NaN for a row without a position; as long as the layer has rows. */
export interface PointGeometry {
  readonly kind: 'point';
  readonly longitude_deg: Float64Array;
  readonly latitude_deg: Float64Array;
}

export interface PolygonGeometry {
  readonly kind: 'polygon';
  /**
   * Rings of a row, longitude and latitude in degrees interleaved, each closed (first position repeated): the outer
   * ring counter-clockwise first, then holes clockwise (RFC 7946 §3.1.6). None for a row without ground.
   */
  readonly rings: (row: number) => readonly Float64Array[];
}

/** What all columns have. */
interface ColumnHead {
  /** With its unit: `yield_t_ha`. */
  readonly name: string;
  /** At most ten ASCII characters, chosen to be read, alone of its name in the layer: for formats that allow no more. */
  readonly short_name: string;
  /** A sentence for documents that carry one: what it is and on which basis. */
  readonly about: string;
}

export type LayerColumn = NumberColumn | TextColumn;

/** NaN absent. `whole`: counts and places; `flag`: 0 or 1; `time`: seconds since 1970-01-01 UTC. */
export interface NumberColumn extends ColumnHead {
  readonly kind: 'real' | 'whole' | 'flag' | 'time';
  /** Digits after the point that mean something: what text formats write. */
  readonly digits: number;
  readonly numbers: Float64Array;
}

/** Few words, many rows: `words[codes[row]]`, absent where the code is negative. */
export interface TextColumn extends ColumnHead {
  readonly kind: 'text';
  readonly words: readonly string[];
  readonly codes: Int32Array;
}
