/** What moving a handle of the variogram does to its model. */
import { effectiveRange_m, type VariogramModel } from '../../../core/surface/variogram-model.ts';

export type VariogramHandle = 'nugget' | 'sill' | 'range';

/** The least share of the sill that distance must add: a model of nugget alone tells nothing of distance. */
const LEAST_PART = 0.01;
const LEAST_RANGE_M = 1;

/** Where a handle stands: semivariances, or for `range` the distance from which on yields hardly tell of each other, m. */
export function handlePlace(model: VariogramModel, handle: VariogramHandle): number {
  if (handle === 'nugget') return model.nugget;
  if (handle === 'sill') return model.nugget + model.partial_sill;
  return effectiveRange_m(model);
}

/** The model with the handle moved: the sill stays where the nugget goes, and the nugget where the sill goes. */
export function modelMoved(model: VariogramModel, handle: VariogramHandle, to: number): VariogramModel {
  const sill = model.nugget + model.partial_sill;
  if (handle === 'nugget') {
    const nugget = Math.min(Math.max(to, 0), (1 - LEAST_PART) * sill);
    return { ...model, nugget, partial_sill: sill - nugget };
  }
  if (handle === 'sill') {
    const partial_sill = Math.max(to - model.nugget, LEAST_PART * Math.max(sill, model.nugget));
    return { ...model, partial_sill };
  }
  // Ranges of a shape are proportional to each other.
  return { ...model, range_m: (model.range_m * Math.max(to, LEAST_RANGE_M)) / effectiveRange_m(model) };
}
