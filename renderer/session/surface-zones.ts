/** Classes and zones of the surface that is shown, and the zones' lines for the map. */
import { useEffect, useMemo, useState } from 'react';
import type { CellGrid } from '../../core/surface/cell-grid.ts';
import { classesOf, classLimits } from '../../core/surface/classes.ts';
import { type YieldZones, yieldZones } from '../../core/surface/field-zones.ts';
import type { SurfaceCorners } from '../../core/surface/surface-details.ts';
import type { SurfaceSheet } from '../../core/surface/surface-sheet.ts';
import type { LonLatRing } from '../map/types.ts';
import type { ShownSurface } from './shown-surface.ts';

type ClassAndZoneSheet = Pick<SurfaceSheet, 'classes' | 'zones'>;

export interface YieldClasses {
  /** Inner limits, ascending. */
  readonly limits_kg_m2: readonly number[];
  /** Ground of each class: its cells before small patches are merged. */
  readonly area_m2: readonly number[];
}

/** Made once for what was asked for last: panel and map ask for the same. */
let lastZones: { surface: ShownSurface; key: string; zones: YieldZones } | undefined;
let lastClasses: { surface: ShownSurface; key: string; classes: YieldClasses } | undefined;

/** Classes as the sheet says: quick, for who drags a limit. */
export function classesOfSurface(surface: ShownSurface, sheet: SurfaceSheet): YieldClasses {
  const key = JSON.stringify(sheet.classes);
  if (lastClasses?.surface !== surface || lastClasses.key !== key) {
    const { method = 'natural', count, limits_kg_m2: limits } = sheet.classes ?? {};
    const { yield_kg_m2 } = surface.columns;
    const limits_kg_m2 = classLimits(yield_kg_m2, { method, count, limits });
    const area_m2 = new Array<number>(limits_kg_m2.length + 1).fill(0);
    for (const k of classesOf(yield_kg_m2, limits_kg_m2)) if (k >= 0) area_m2[k] += surface.cell_m ** 2;
    lastClasses = { surface, key, classes: { limits_kg_m2, area_m2 } };
  }
  return lastClasses.classes;
}

/** Classes and zones as the sheet says; null without a surface. */
export function zonesOfSurface(
  surface: ShownSurface | null,
  sheet: ClassAndZoneSheet = {},
): YieldZones | null {
  if (surface === null) return null;
  const key = JSON.stringify([sheet.classes, sheet.zones]);
  if (lastZones?.surface !== surface || lastZones.key !== key) {
    const zones = yieldZones(surface.grid, surface.cells, surface.columns.yield_kg_m2, sheet);
    lastZones = { surface, key, zones };
  }
  return lastZones.zones;
}

/** Lines of zones take longer than colours: they follow once a limit that is dragged has stood still so long. */
const STILL_MS = 160;

/** The sheet as it was when it last stood still. */
export function useStillSheet(sheet: SurfaceSheet): SurfaceSheet {
  const [still, setStill] = useState(sheet);
  useEffect(() => {
    const timer = setTimeout(() => setStill(sheet), STILL_MS);
    return () => clearTimeout(timer);
  }, [sheet]);
  return still;
}

/** Lines of the zones where they are wanted; null: none. */
export function useZoneLines(
  surface: ShownSurface | null,
  sheet: SurfaceSheet,
  isZoned: boolean,
): readonly LonLatRing[] | null {
  const still = useStillSheet(sheet);
  return useMemo(() => {
    const zones = isZoned ? zonesOfSurface(surface, still) : null;
    if (zones === null || surface === null || surface.corners === null) return null;
    const { grid, corners } = surface;
    return zones.zones.flatMap(({ rings }) => rings.map((ring) => ringBetween(ring, grid, corners)));
  }, [surface, still, isZoned]);
}

/**
 * From the field's plane to longitude and latitude between the grid's corners: over a kilometre, centimetres from the
 * projection itself, which is enough to draw.
 */
function ringBetween(ring: Float64Array, grid: CellGrid, corners: SurfaceCorners): LonLatRing {
  const [southWest, southEast, northEast, northWest] = corners;
  return Array.from({ length: ring.length / 2 }, (_, k) => {
    const x = (ring[2 * k] - grid.west_m) / (grid.columns * grid.cell_m);
    const y = (ring[2 * k + 1] - grid.south_m) / (grid.rows * grid.cell_m);
    const between = (axis: 0 | 1) =>
      (1 - y) * ((1 - x) * southWest[axis] + x * southEast[axis]) +
      y * ((1 - x) * northWest[axis] + x * northEast[axis]);
    return [between(0), between(1)] as const;
  });
}
