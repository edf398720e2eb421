/** What a surface's threads are asked, and what they answer. */
import type { Result } from '../../core/errors.ts';
import type { FieldPoints } from '../../core/result.ts';
import type { SurfaceCells } from '../../core/surface/surface-cells.ts';
import type { SurfaceDetails } from '../../core/surface/surface-details.ts';
import type { SurfacePlan } from '../../core/surface/surface-plan.ts';
import type { SurfaceSheet } from '../../core/surface/surface-sheet.ts';

/** One field, and how its surface is to be made. */
export interface SurfaceRequest {
  readonly points: FieldPoints;
  /** Rings of the field in its plane; none where it has no boundary. */
  readonly outline: readonly Float64Array[];
  readonly sheet: SurfaceSheet;
}

export interface PlannedSurface {
  readonly plan: SurfacePlan;
  readonly details: SurfaceDetails;
}

/** A thread answers one order and ends; before that it may tell how many cells are done. */
export type SurfaceOrder =
  | ({ readonly kind: 'plan' } & SurfaceRequest)
  | { readonly kind: 'cells'; readonly plan: SurfacePlan; readonly from: number; readonly to: number };

export type SurfaceNews =
  | { readonly kind: 'planned'; readonly result: Result<PlannedSurface> }
  | { readonly kind: 'cells'; readonly cells: SurfaceCells };

export interface SurfaceProgress {
  readonly kind: 'progress';
  readonly done: number;
}
