/** Surfaces that were made of a result, kept as long as the result is. */
import type { Result } from '../../core/errors.ts';
import type { SeasonResult } from '../../core/result.ts';
import type { SurfaceSheet } from '../../core/surface/surface-sheet.ts';
import { type FieldSurface, type SurfaceThreads, surfaceOfField } from './surface-threads.ts';

/** Of one result: the window's own settings and what was tried last. */
const MOST_KEPT = 6;
const KEPT = new WeakMap<SeasonResult, Map<string, Promise<Result<FieldSurface>>>>();

/**
 * The surface of the field at that place of the result's points: as it was made before, or made now. One that can be stopped is
 * kept once it is there, lest others wait for what is stopped.
 */
export function keptSurface(
  result: SeasonResult,
  field: number,
  sheet: SurfaceSheet,
  how: Pick<SurfaceThreads, 'signal' | 'onProgress'> = {},
): Promise<Result<FieldSurface>> {
  const kept = KEPT.get(result) ?? new Map<string, Promise<Result<FieldSurface>>>();
  KEPT.set(result, kept);
  // classes and zones are made of the cells, not the other way round
  const key = JSON.stringify([field, { ...sheet, classes: undefined, zones: undefined }]);
  const known = kept.get(key);
  if (known !== undefined) return known;
  const request = { points: result.points[field], outline: result.outlines[field] ?? [], sheet };
  const made = surfaceOfField(request, how);
  if (how.signal === undefined) keep(kept, key, made);
  else
    made.then(
      () => how.signal?.aborted || keep(kept, key, made),
      () => undefined,
    );
  return made;
}

function keep(
  kept: Map<string, Promise<Result<FieldSurface>>>,
  key: string,
  made: Promise<Result<FieldSurface>>,
): void {
  kept.set(key, made);
  made.catch(() => kept.delete(key));
  for (const old of [...kept.keys()].slice(0, Math.max(0, kept.size - MOST_KEPT))) kept.delete(old);
}
