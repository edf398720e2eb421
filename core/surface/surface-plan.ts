/** From a field's points to a surface: what is estimated from what, by which model; the cells themselves in `surface-cells.ts`. */
import { type DataError, failure, type Notice, type Result, success } from '../errors.ts';
import type { FieldPoints } from '../result.ts';
import { NearestPlaces, type SearchLimits } from '../stats/nearest-places.ts';
import { median } from '../stats/quantiles.ts';
import { type CellGrid, cellEast_m, cellNorth_m, cellsInside, gridOver, MOST_CELLS } from './cell-grid.ts';
import { suggestedCell_m } from './cell-size.ts';
import { mergedPlaces } from './merged-places.ts';
import type { SurfaceSheet } from './surface-sheet.ts';
import { type EmpiricalVariogram, empiricalVariograms, type MeasuredPlaces } from './variogram.ts';
import { type VariogramSolution, variogramCandidates } from './variogram-fit.ts';
import { effectiveRange_m, type VariogramModel } from './variogram-model.ts';

export type SurfaceMethod = 'block_mean' | 'inverse_distance' | 'kriging';

/** Plain data, so that a host can hand it to several threads. */
export interface SurfacePlan {
  readonly method: SurfaceMethod;
  readonly grid: CellGrid;
  /** What the cells would measure if the sheet did not say. */
  readonly suggested_cell_m: number;
  /** Cells of the grid that belong to the field, ascending. */
  readonly cells: Int32Array;
  /** Kept points, one a place; yields at standard moisture, kg/m². */
  readonly places: MeasuredPlaces;
  /** Ground that each place stands for, m². */
  readonly weights: Float64Array;
  /** Which pass each place was measured in, for leaving a pass out. */
  readonly passes: Int32Array;
  readonly search: SearchLimits;
  readonly power: number;
  /** Side of the square whose mean is estimated by kriging; 0 for points. */
  readonly block_m: number;
  /** What is left in a cell of the errors of its points, which neighbours share and no variogram shows: kg²/m⁴. */
  readonly shared_variance: number;
  /** Of kriging. */
  readonly model: VariogramModel | undefined;
  readonly empirical: EmpiricalVariogram | undefined;
  readonly candidates: readonly VariogramSolution[];
}

/** Numbers that the sheet leaves open. */
export const SURFACE_DEFAULTS = {
  method: 'kriging',
  /** Kravchenko & Bullock (1999) found 5–30 best in 30 fields. */
  neighbours: 32,
  power: 2,
  /** Longest distance of the variogram: what neighbours are weighed by lies well within; common practice, no source. */
  cutoff_m: 150,
} as const;

/** Classes of distance of a field's variogram; common practice, no source. */
const DISTANCE_CLASSES = 20;
/** Enough that every class holds thousands. */
const MOST_PAIRS = 1_000_000;
/** A field without a boundary ends this share of a cut width from its points. */
const EDGE_SHARE = 0.75;
/** Cells of a field whose points stand for no known ground; common practice, no source. */
const UNKNOWN_GROUND_CELL_M = 10;
/** No surface is made of fewer. */
export const LEAST_POINTS = 10;

/**
 * Plans the surface of one field. `outline` are its rings in its plane (interleaved east, north), none where it has no
 * boundary: the field is then what lies near a point. Fails where too few points were kept, or for cells that are too
 * small, or so large that none has its middle in the field.
 */
export function planSurface(
  points: FieldPoints,
  outline: readonly Float64Array[],
  sheet: SurfaceSheet = {},
): Result<SurfacePlan> {
  const kept = keptPlaces(points, sheet);
  const { places } = kept;
  if (places.measured.length < LEAST_POINTS) return failure(tooFew(points, places.measured.length));
  const suggested_m = suggestedCell_m(kept.cut_width_m, kept.weights);
  const suggested_cell_m = suggested_m > 0 ? suggested_m : UNKNOWN_GROUND_CELL_M;
  const cell_m = sheet.cell_m ?? suggested_cell_m;
  const grid = gridOfField(places, outline, cell_m);
  if (grid === undefined) return failure(tooSmall(points, cell_m));
  const width_m = median(kept.cut_width_m);
  const reach_m = width_m > 0 ? Math.max(cell_m, EDGE_SHARE * width_m) : cell_m;
  const cells = outline.length > 0 ? cellsInside(grid, outline) : cellsNear(grid, places, reach_m);
  if (cells.length === 0) return failure(tooLarge(points, cell_m));
  const notices: Notice[] = [];
  const variogram =
    sheet.method === 'block_mean' || sheet.method === 'inverse_distance' ? undefined : modelOf(places, sheet);
  let method: SurfaceMethod = sheet.method ?? SURFACE_DEFAULTS.method;
  if (method === 'kriging' && variogram?.model === undefined) {
    method = 'inverse_distance';
    notices.push(noModel(points));
  }
  const range_m = variogram?.model === undefined ? 0 : effectiveRange_m(variogram.model);
  const plan: SurfacePlan = {
    method,
    grid,
    suggested_cell_m,
    cells,
    places,
    weights: kept.weights,
    passes: kept.passes,
    search: {
      most: sheet.neighbours ?? SURFACE_DEFAULTS.neighbours,
      within_m: sheet.search_m ?? Math.max(range_m, 3 * cell_m, 4 * reach_m),
      ...(sheet.octant_neighbours === undefined ? {} : { most_an_octant: sheet.octant_neighbours }),
    },
    power: sheet.power ?? SURFACE_DEFAULTS.power,
    block_m: sheet.block_m ?? cell_m,
    shared_variance: sharedVariance(kept.error_variance, width_m, cell_m),
    model: method === 'kriging' ? variogram?.model : undefined,
    empirical: variogram?.empirical,
    candidates: variogram?.candidates ?? [],
  };
  return success(plan, notices);
}

interface KeptPlaces {
  readonly places: MeasuredPlaces;
  readonly weights: Float64Array;
  readonly passes: Int32Array;
  readonly cut_width_m: Float64Array;
  readonly error_variance: Float64Array;
}

/** Points share the error of their mixing over about so much way: two or three seconds at 2 m/s (ours, from simulation). */
const SHARED_WAY_M = 5;

/**
 * A point's error is one for so much way and a cut width across; of the variance a cell keeps `1 / (1 + A/(w L))`: all of it
 * where the cell is small, one part in as many as fit in where it is large. 0 where points have no errors or stand for no ground.
 */
function sharedVariance(error_variance: Float64Array, width_m: number, cell_m: number): number {
  const known = error_variance.filter((variance) => variance > 0);
  if (known.length === 0 || !(width_m > 0)) return 0;
  return median(known) / (1 + cell_m ** 2 / (width_m * SHARED_WAY_M));
}

function keptPlaces(points: FieldPoints, sheet: SurfaceSheet): KeptPlaces {
  const measured = points.yield_kg_m2.map((amount, i) => (points.screened_by[i] === 0 ? amount : Number.NaN));
  const noise_variance = points.yield_se_kg_m2.map((se) => (se > 0 ? se * se : 0));
  const { places, rows } = mergedPlaces({
    east_m: points.east_m,
    north_m: points.north_m,
    measured,
    ...(sheet.point_errors === 'known' ? { noise_variance } : {}),
  });
  const passes = new Map<string, number>();
  return {
    places,
    weights: Float64Array.from(rows, (row) => points.fresh_area_m2[row]),
    cut_width_m: Float64Array.from(rows, (row) => points.cut_width_m[row]),
    error_variance: Float64Array.from(rows, (row) => noise_variance[row]),
    passes: rows.map((row) => {
      const pass = `${points.machine[row]}/${points.pass[row]}`;
      const known = passes.get(pass) ?? passes.size;
      passes.set(pass, known);
      return known;
    }),
  };
}

function gridOfField(
  places: MeasuredPlaces,
  outline: readonly Float64Array[],
  cell_m: number,
): CellGrid | undefined {
  const corners = outline.flatMap((ring) => [...ring]);
  const east_m = outline.length > 0 ? corners.filter((_, k) => k % 2 === 0) : places.east_m;
  const north_m = outline.length > 0 ? corners.filter((_, k) => k % 2 === 1) : places.north_m;
  let [least, most] = [Infinity, -Infinity];
  let [south, north] = [Infinity, -Infinity];
  for (let i = 0; i < east_m.length; i++) {
    least = Math.min(least, east_m[i]);
    most = Math.max(most, east_m[i]);
    south = Math.min(south, north_m[i]);
    north = Math.max(north, north_m[i]);
  }
  // one cell on either side, for fields that are what lies near a point
  const easts = [least - cell_m, most + cell_m];
  const norths = [south - cell_m, north + cell_m];
  const count = ((most - least) / cell_m + 4) * ((north - south) / cell_m + 4);
  return count > MOST_CELLS ? undefined : gridOver(easts, norths, cell_m);
}

function cellsNear(grid: CellGrid, { east_m, north_m }: MeasuredPlaces, reach_m: number): Int32Array {
  const index = new NearestPlaces(east_m, north_m);
  const limits = { most: 1, within_m: reach_m };
  const cells: number[] = [];
  for (let cell = 0; cell < grid.columns * grid.rows; cell++)
    if (index.nearest(cellEast_m(grid, cell), cellNorth_m(grid, cell), limits) > 0) cells.push(cell);
  return Int32Array.from(cells);
}

interface FieldVariogram {
  readonly model: VariogramModel | undefined;
  readonly empirical: EmpiricalVariogram;
  readonly candidates: readonly VariogramSolution[];
}

/** The sheet's own model, else the best of the shape that it asks for, else the best of all. */
function modelOf(places: MeasuredPlaces, sheet: SurfaceSheet): FieldVariogram {
  const empirical = fieldVariogram(places, sheet);
  const candidates = variogramCandidates(empirical);
  const { shape, model } = sheet;
  if (model !== undefined)
    return { model: { shape: shape ?? 'exponential', ...model }, empirical, candidates };
  const best = shape === undefined ? candidates[0] : candidates.find((one) => one.model.shape === shape);
  return { model: best?.model, empirical, candidates };
}

function fieldVariogram(places: MeasuredPlaces, sheet: SurfaceSheet): EmpiricalVariogram {
  return fieldVariograms(places, sheet, [undefined])[0];
}

/** The variogram model of a field's kept points: what its surface goes by; `undefined` where none fits. */
export function modelOfField(points: FieldPoints, sheet: SurfaceSheet = {}): VariogramModel | undefined {
  const { places } = keptPlaces(points, sheet);
  return places.measured.length < LEAST_POINTS ? undefined : modelOf(places, sheet).model;
}

/** The variogram that a field's surface goes by, along several directions; `undefined` is every one. */
export function fieldVariograms(
  places: MeasuredPlaces,
  sheet: SurfaceSheet,
  azimuths_deg: readonly (number | undefined)[],
): EmpiricalVariogram[] {
  const cutoff_m = sheet.cutoff_m ?? Math.min(SURFACE_DEFAULTS.cutoff_m, diagonalOf(places) / 3);
  const width_m = cutoff_m / DISTANCE_CLASSES;
  return empiricalVariograms(places, { cutoff_m, width_m, most_pairs: MOST_PAIRS }, azimuths_deg);
}

function diagonalOf({ east_m, north_m }: MeasuredPlaces): number {
  let [west, east, south, north] = [Infinity, -Infinity, Infinity, -Infinity];
  for (let i = 0; i < east_m.length; i++) {
    west = Math.min(west, east_m[i]);
    east = Math.max(east, east_m[i]);
    south = Math.min(south, north_m[i]);
    north = Math.max(north, north_m[i]);
  }
  return Math.sqrt((east - west) ** 2 + (north - south) ** 2);
}

function tooFew({ field }: FieldPoints, count: number): DataError {
  const text = `Field "${field}" kept ${count} points, and a surface needs ${LEAST_POINTS}; look at the screening of its points.`;
  return { code: 'too_few_points', source: field, text };
}

function tooSmall({ field }: FieldPoints, cell_m: number): DataError {
  const text = `Cells of ${cell_m} m would be more than ${MOST_CELLS} for field "${field}"; make the cells larger.`;
  return { code: 'cells_too_small', source: field, text };
}

function tooLarge({ field }: FieldPoints, cell_m: number): DataError {
  const text = `No cell of ${cell_m} m has its middle in field "${field}"; make the cells smaller.`;
  return { code: 'cells_too_large', source: field, text };
}

function noModel({ field }: FieldPoints): Notice {
  const text = `The yields of field "${field}" do not differ enough with distance for kriging; its surface is by inverse distance.`;
  return { code: 'no_variogram', severity: 'look', source: field, count: 1, text };
}
