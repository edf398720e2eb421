/** What is told of a surface beside its cells: how it was made, and how good it is. JSON, `null` where a number does not exist. */
import { finiteOrNull } from '../columns.ts';
import type { Notice } from '../errors.ts';
import type { CellGrid } from './cell-grid.ts';
import { crossValidateSurface } from './surface-cells.ts';
import { fieldVariograms, type SurfaceMethod, type SurfacePlan } from './surface-plan.ts';
import type { SurfaceSheet } from './surface-sheet.ts';
import type { EmpiricalVariogram } from './variogram.ts';
import { estimateVariogram } from './variogram-fit.ts';
import { effectiveRange_m, semivarianceOf, type VariogramModel } from './variogram-model.ts';

export interface SurfaceDetails {
  readonly method: SurfaceMethod;
  readonly points: number;
  readonly cells: number;
  readonly neighbours: number;
  readonly search_m: number | null;
  readonly suggested_cell_m: number;
  readonly block_m: number;
  readonly power: number;
  readonly model: VariogramModel | null;
  /** Distance from which on points hardly tell of each other. */
  readonly effective_range_m: number | null;
  /** The best model of each shape, best first. */
  readonly candidates: readonly { readonly model: VariogramModel; readonly explained: number }[];
  readonly variogram: readonly VariogramRow[];
  /** The same along four directions, with the range of a model of the same shape: how alike yields are that way. */
  readonly directions: readonly DirectionDetails[];
  /** Whole passes left out in turn; none for plain means. Errors in kg/m². */
  readonly cross_validation: SurfaceTest | null;
}

/**
 * What the block of `readSurface` is about: the grid, and the rest as JSON text. Its columns are `cell` (the place in the grid),
 * `longitude_deg` and `latitude_deg` of its middle, `yield_kg_m2` and `yield_se_kg_m2`. `?settings={…}` tries another
 * `settings.surface` than the season's own.
 */
export interface SurfaceAbout extends CellGrid {
  readonly field: string;
  readonly crop: string;
  readonly revision: string;
  /** JSON text of `SurfaceCorners`, or of `null` where the field has no position. */
  readonly corners: string;
  /** JSON text of `SurfaceReply`. */
  readonly details: string;
}

type Corner = readonly [longitude_deg: number, latitude_deg: number];
/** Where the grid's corners are: south-west, south-east, north-east, north-west. */
export type SurfaceCorners = readonly [Corner, Corner, Corner, Corner];

export interface SurfaceReply extends SurfaceDetails {
  readonly notices: readonly Notice[];
}

export interface DirectionDetails {
  /** Clockwise from north. */
  readonly azimuth_deg: number;
  readonly effective_range_m: number | null;
  readonly variogram: readonly VariogramRow[];
}

export interface VariogramRow {
  readonly pairs: number;
  readonly distance_m: number;
  /** (kg/m²)² */
  readonly semivariance: number;
  /** Of the model, at that distance. */
  readonly modelled: number | null;
}

export interface SurfaceTest {
  readonly foretold: number;
  readonly mean_error_kg_m2: number | null;
  readonly rmse_kg_m2: number | null;
  readonly mae_kg_m2: number | null;
  /** Mean of squared errors over kriging variances: 1 when the standard errors are right. */
  readonly mean_squared_ratio: number | null;
  readonly correlation: number | null;
}

const AZIMUTHS_DEG = [0, 45, 90, 135];

export function surfaceDetails(plan: SurfacePlan, sheet: SurfaceSheet = {}): SurfaceDetails {
  const { model, places } = plan;
  const along = plan.method === 'kriging' ? fieldVariograms(places, sheet, AZIMUTHS_DEG) : [];
  return {
    method: plan.method,
    points: places.measured.length,
    cells: plan.cells.length,
    neighbours: plan.search.most,
    search_m: finiteOrNull(plan.search.within_m ?? Number.POSITIVE_INFINITY),
    suggested_cell_m: plan.suggested_cell_m,
    block_m: plan.block_m,
    power: plan.power,
    model: model ?? null,
    effective_range_m: model === undefined ? null : effectiveRange_m(model),
    candidates: plan.candidates.map(({ model: fitted, explained }) => ({ model: fitted, explained })),
    variogram: plan.empirical === undefined ? [] : rowsOf(plan.empirical, model),
    directions: along.map((variogram, k) => ({
      azimuth_deg: AZIMUTHS_DEG[k],
      effective_range_m: rangeAlong(variogram, model),
      variogram: rowsOf(variogram, model),
    })),
    cross_validation: testOf(plan),
  };
}

function rangeAlong(empirical: EmpiricalVariogram, model: VariogramModel | undefined): number | null {
  if (model === undefined) return null;
  const fitted = estimateVariogram(empirical, model.shape);
  return fitted === undefined ? null : effectiveRange_m(fitted.model);
}

function rowsOf(empirical: EmpiricalVariogram, model: VariogramModel | undefined): VariogramRow[] {
  const semivariance = model === undefined ? undefined : semivarianceOf(model);
  return Array.from(empirical.pairs, (pairs, k) => ({
    pairs,
    distance_m: empirical.distance_m[k],
    semivariance: empirical.semivariance[k],
    modelled: semivariance?.(empirical.distance_m[k]) ?? null,
  }));
}

function testOf(plan: SurfacePlan): SurfaceTest | null {
  const figures = crossValidateSurface(plan)?.figures;
  if (figures === undefined) return null;
  return {
    foretold: figures.count,
    mean_error_kg_m2: finiteOrNull(figures.mean_error),
    rmse_kg_m2: finiteOrNull(figures.rmse),
    mae_kg_m2: finiteOrNull(figures.mae),
    mean_squared_ratio: finiteOrNull(figures.mean_squared_ratio),
    correlation: finiteOrNull(figures.correlation),
  };
}
