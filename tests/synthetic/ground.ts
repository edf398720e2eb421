/**
 * The crop as a fine raster: each cell is cut once, by whichever header sweeps it first, and hands over exactly
 * what stood on it. Mass and area are therefore conserved whatever the headers do.
 */
import { BLOCK_SIDE_M } from './block-frame.ts';
import { boundingBox, distanceToEdge_m, isInside } from './polygon.ts';
import type { Random } from './random.ts';
import { randomSurface } from './random-surface.ts';
import type { Corner, FieldSpec, TreatedGround } from './scene-spec.ts';

/** Side of a raster cell. */
export const CELL_M = 0.2;
/** Yield and moisture are known at nodes this far apart and linear between them. */
const NODE_M = 2;
const EDGE_LOSS_M = 10;

/** A straight cutting line from its left to its right end. */
export interface CuttingLine {
  readonly leftEast_m: number;
  readonly leftNorth_m: number;
  readonly rightEast_m: number;
  readonly rightNorth_m: number;
}

/** What one sweep of a header gathered. */
export interface Gathered {
  area_m2: number;
  wet_kg: number;
  water_kg: number;
  std_kg: number;
}

/** Truth of the blocks in which anything was cut. */
export interface BlockTruth {
  readonly col: Int32Array;
  readonly row: Int32Array;
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  readonly cut_area_m2: Float64Array;
  readonly mass_std_kg: Float64Array;
}

const BARE = 0;
const STANDING = 1;

/** One field's crop, cut cell by cell; `standing_m2` is what stood at the start. */
export class Ground {
  readonly standing_m2: number;
  readonly #west_m: number;
  readonly #south_m: number;
  readonly #cols: number;
  readonly #rows: number;
  readonly #state: Uint8Array;
  readonly #nodes: Nodes;
  readonly #standard_pct: number;
  readonly #strips: readonly TreatedGround[];
  readonly #across: readonly [number, number];
  readonly #blockCol0: number;
  readonly #blockRow0: number;
  readonly #blockCols: number;
  readonly #blockArea_m2: Float64Array;
  readonly #blockStd_kg: Float64Array;

  constructor(
    field: FieldSpec,
    corners: readonly Corner[],
    standard_pct: number,
    random: (stream: string) => Random,
  ) {
    const [west, south, east, north] = boundingBox(corners);
    // Raster lines on whole cells of the frame, so that no cell straddles two blocks.
    this.#west_m = Math.floor(west) - 1;
    this.#south_m = Math.floor(south) - 1;
    this.#cols = Math.ceil((east + 1 - this.#west_m) / CELL_M);
    this.#rows = Math.ceil((north + 1 - this.#south_m) / CELL_M);
    this.#standard_pct = standard_pct;
    this.#strips = field.strips ?? [];
    const heading_rad = (field.passes.heading_deg * Math.PI) / 180;
    this.#across = [Math.cos(heading_rad), -Math.sin(heading_rad)];
    this.#state = new Uint8Array(this.#cols * this.#rows);
    this.standing_m2 = this.#sow(corners) * CELL_M * CELL_M;
    this.#nodes = surfaceNodes(field, corners, random, [this.#west_m, this.#south_m, east + 2, north + 2]);
    this.#blockCol0 = Math.floor(this.#west_m / BLOCK_SIDE_M);
    this.#blockRow0 = Math.floor(this.#south_m / BLOCK_SIDE_M);
    this.#blockCols = Math.ceil((this.#cols * CELL_M) / BLOCK_SIDE_M) + 1;
    const blockRows = Math.ceil((this.#rows * CELL_M) / BLOCK_SIDE_M) + 1;
    this.#blockArea_m2 = new Float64Array(this.#blockCols * blockRows);
    this.#blockStd_kg = new Float64Array(this.#blockCols * blockRows);
  }

  /** Cuts whatever still stands in the quadrilateral between two places of a cutting line. */
  sweep(from: CuttingLine, to: CuttingLine): Gathered {
    const gathered = { area_m2: 0, wet_kg: 0, water_kg: 0, std_kg: 0 };
    const x = [from.leftEast_m, from.rightEast_m, to.rightEast_m, to.leftEast_m];
    const y = [from.leftNorth_m, from.rightNorth_m, to.rightNorth_m, to.leftNorth_m];
    const first = Math.max(0, this.#rowOf(Math.min(...y)));
    const last = Math.min(this.#rows - 1, this.#rowOf(Math.max(...y)) + 1);
    for (let row = first; row <= last; row++) {
      const north = this.#south_m + (row + 0.5) * CELL_M;
      let least = Number.POSITIVE_INFINITY;
      let greatest = Number.NEGATIVE_INFINITY;
      for (let i = 0; i < 4; i++) {
        const j = (i + 1) & 3;
        if (y[i] <= north === y[j] <= north) continue;
        const at = x[i] + ((north - y[i]) * (x[j] - x[i])) / (y[j] - y[i]);
        if (at < least) least = at;
        if (at > greatest) greatest = at;
      }
      if (greatest < least) continue;
      const colFrom = Math.max(0, Math.ceil((least - this.#west_m) / CELL_M - 0.5 - 1e-9));
      const colTo = Math.min(this.#cols - 1, Math.floor((greatest - this.#west_m) / CELL_M - 0.5 + 1e-9));
      for (let col = colFrom; col <= colTo; col++) this.#cut(row, col, gathered);
    }
    return gathered;
  }

  blocks(): BlockTruth {
    const cut: number[] = [];
    this.#blockArea_m2.forEach((area, i) => {
      if (area > 0) cut.push(i);
    });
    const col = Int32Array.from(cut, (i) => this.#blockCol0 + (i % this.#blockCols));
    const row = Int32Array.from(cut, (i) => this.#blockRow0 + Math.floor(i / this.#blockCols));
    return {
      col,
      row,
      east_m: Float64Array.from(col, (c) => (c + 0.5) * BLOCK_SIDE_M),
      north_m: Float64Array.from(row, (r) => (r + 0.5) * BLOCK_SIDE_M),
      cut_area_m2: Float64Array.from(cut, (i) => this.#blockArea_m2[i]),
      mass_std_kg: Float64Array.from(cut, (i) => this.#blockStd_kg[i]),
    };
  }

  #rowOf(north_m: number): number {
    return Math.floor((north_m - this.#south_m) / CELL_M);
  }

  #cut(row: number, col: number, gathered: Gathered): void {
    const cell = row * this.#cols + col;
    if (this.#state[cell] !== STANDING) return;
    this.#state[cell] = BARE;
    const east = (col + 0.5) * CELL_M;
    const north = (row + 0.5) * CELL_M;
    const area = CELL_M * CELL_M;
    const std = this.#nodes.yieldAt(east, north) * this.#factorAt(east, north) * area;
    const moisture = this.#nodes.moistureAt(east, north);
    const wet = (std * (100 - this.#standard_pct)) / (100 - moisture);
    gathered.area_m2 += area;
    gathered.std_kg += std;
    gathered.wet_kg += wet;
    gathered.water_kg += (wet * moisture) / 100;
    const blockCol = Math.floor((this.#west_m + east) / BLOCK_SIDE_M) - this.#blockCol0;
    const blockRow = Math.floor((this.#south_m + north) / BLOCK_SIDE_M) - this.#blockRow0;
    const block = blockRow * this.#blockCols + blockCol;
    this.#blockArea_m2[block] += area;
    this.#blockStd_kg[block] += std;
  }

  /** What the treatment of a place makes of its yield. */
  #factorAt(east: number, north: number): number {
    if (this.#strips.length === 0) return 1;
    const across_m = (this.#west_m + east) * this.#across[0] + (this.#south_m + north) * this.#across[1];
    return (
      this.#strips.find((strip) => across_m >= strip.from_across_m && across_m < strip.to_across_m)?.factor ??
      1
    );
  }

  /** Marks the cells whose centre is inside the field; returns their number. */
  #sow(corners: readonly Corner[]): number {
    let count = 0;
    for (let row = 0; row < this.#rows; row++) {
      const north = this.#south_m + (row + 0.5) * CELL_M;
      const crossings: number[] = [];
      for (let i = 0, j = corners.length - 1; i < corners.length; j = i++) {
        const [ei, ni] = corners[i];
        const [ej, nj] = corners[j];
        if (ni > north !== nj > north) crossings.push(ei + ((north - ni) * (ej - ei)) / (nj - ni));
      }
      crossings.sort((a, b) => a - b);
      for (let k = 0; k + 1 < crossings.length; k += 2) {
        const from = Math.ceil((crossings[k] - this.#west_m) / CELL_M - 0.5);
        const to = Math.ceil((crossings[k + 1] - this.#west_m) / CELL_M - 0.5);
        this.#state.fill(STANDING, row * this.#cols + from, row * this.#cols + to);
        count += to - from;
      }
    }
    return count;
  }
}

/** Yield (kg/m² at standard moisture) and moisture (%) at metres from the raster's corner. */
interface Nodes {
  yieldAt(east_m: number, north_m: number): number;
  moistureAt(east_m: number, north_m: number): number;
}

function surfaceNodes(
  field: FieldSpec,
  corners: readonly Corner[],
  random: (stream: string) => Random,
  [west, south, east, north]: readonly [number, number, number, number],
): Nodes {
  const cols = Math.ceil((east - west) / NODE_M) + 2;
  const rows = Math.ceil((north - south) / NODE_M) + 2;
  const yields = new Float64Array(cols * rows);
  const moistures = new Float64Array(cols * rows);
  const yieldSurface = randomSurface(random('yield'), field.yield_range_m);
  const moistureSurface = randomSurface(random('moisture'), field.moisture_range_m);
  const mean = field.yield_t_ha / 10;
  const trendHeading = (field.yield_trend_deg * Math.PI) / 180;
  const along = ([e, n]: Corner): number => e * Math.sin(trendHeading) + n * Math.cos(trendHeading);
  const reach = corners.map(along);
  const least = Math.min(...reach);
  const span = Math.max(...reach) - least;
  for (let row = 0; row < rows; row++) {
    for (let col = 0; col < cols; col++) {
      const e = west + col * NODE_M;
      const n = south + row * NODE_M;
      const trend = field.yield_trend * ((along([e, n]) - least) / span - 0.5);
      const distance = isInside(corners, e, n) ? distanceToEdge_m(corners, e, n) : 0;
      const edge = 1 - field.edge_loss * Math.max(0, 1 - distance / EDGE_LOSS_M);
      const relative = Math.max(0.1, 1 + trend + field.yield_cv * yieldSurface.at(e, n));
      yields[row * cols + col] = mean * edge * relative;
      moistures[row * cols + col] = field.moisture_pct + field.moisture_sd_pct * moistureSurface.at(e, n);
    }
  }
  const bilinear =
    (node: Float64Array) =>
    (e: number, n: number): number => {
      const col = Math.floor(e / NODE_M);
      const row = Math.floor(n / NODE_M);
      const x = e / NODE_M - col;
      const y = n / NODE_M - row;
      const at = row * cols + col;
      return (
        (node[at] * (1 - x) + node[at + 1] * x) * (1 - y) +
        (node[at + cols] * (1 - x) + node[at + cols + 1] * x) * y
      );
    };
  return { yieldAt: bilinear(yields), moistureAt: bilinear(moistures) };
}
