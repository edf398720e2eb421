/** How the surface of a field is made, as the season's sheet says it; anything absent is found from the data. */
import type { MaternSmoothness, VariogramShape } from './variogram-model.ts';

export interface SurfaceSheet {
  /** `kriging` when absent. */
  readonly method?: 'block_mean' | 'inverse_distance' | 'kriging';
  readonly cell_m?: number;
  /** Points that a cell is estimated from. */
  readonly neighbours?: number;
  /** Points further away do not count. */
  readonly search_m?: number;
  /** As many at most from each of eight sectors; any when absent. */
  readonly octant_neighbours?: number;
  /** Power of the distance, of `inverse_distance`. */
  readonly power?: number;
  /** Side of the square whose mean is estimated by `kriging`; the cell's own when absent, 0 for points. */
  readonly block_m?: number;
  /** `known`: each point's own standard error counts as noise of its measurement; `in_nugget` (when absent): the nugget holds it. */
  readonly point_errors?: 'known' | 'in_nugget';
  /** Longest distance of the variogram. */
  readonly cutoff_m?: number;
  /** The shape that fits best when absent. */
  readonly shape?: VariogramShape;
  /** A model entered by hand; sills are squares of yields in kg/m². */
  readonly model?: SurfaceModelSheet;
  readonly classes?: SurfaceClassSheet;
  readonly zones?: SurfaceZoneSheet;
}

/** Classes of a surface's yields; five by natural breaks when absent. */
export interface SurfaceClassSheet {
  readonly method?: 'equal' | 'quantile' | 'natural' | 'standard_deviation' | 'user';
  readonly count?: number;
  /** Of `user`: inner limits, ascending. */
  readonly limits_kg_m2?: readonly number[];
}

export interface SurfaceZoneSheet {
  /** Smaller patches go to a neighbour. */
  readonly least_area_m2?: number;
  /** How far a zone's line may run from the sides of its cells. */
  readonly tolerance_m?: number;
}

export interface SurfaceModelSheet {
  readonly nugget: number;
  readonly partial_sill: number;
  readonly range_m: number;
  readonly smoothness?: MaternSmoothness;
  readonly anisotropy?: { readonly azimuth_deg: number; readonly ratio: number };
}
