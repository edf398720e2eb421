/** Zones of the surface that is shown, and their lines for the map. */
import { useMemo } from 'react';
import type { CellGrid } from '../../core/surface/cell-grid.ts';
import { type YieldZones, yieldZones } from '../../core/surface/field-zones.ts';
import type { SurfaceCorners } from '../../core/surface/surface-details.ts';
import type { SurfaceSheet } from '../../core/surface/surface-sheet.ts';
import type { LonLatRing } from '../map/types.ts';
import type { ShownSurface } from './surfaces.ts';

/** Made once for what was asked for last: panel and map ask for the same. */
let last: { surface: ShownSurface; key: string; zones: YieldZones } | undefined;

/** Classes and zones as the sheet says; null without a surface. */
export function zonesOfSurface(
  surface: ShownSurface | null,
  sheet: Pick<SurfaceSheet, 'classes' | 'zones'> = {},
): YieldZones | null {
  if (surface === null) return null;
  const key = JSON.stringify([sheet.classes, sheet.zones]);
  if (last?.surface !== surface || last.key !== key) {
    const zones = yieldZones(surface.grid, surface.cells, surface.columns.yield_kg_m2, sheet);
    last = { surface, key, zones };
  }
  return last.zones;
}

/** Lines of the zones where they are wanted; null: none. */
export function useZoneLines(
  surface: ShownSurface | null,
  sheet: Pick<SurfaceSheet, 'classes' | 'zones'> | undefined,
  isZoned: boolean,
): readonly LonLatRing[] | null {
  return useMemo(() => {
    const zones = isZoned ? zonesOfSurface(surface, sheet) : null;
    if (zones === null || surface === null || surface.corners === null) return null;
    const { grid, corners } = surface;
    return zones.zones.flatMap(({ rings }) => rings.map((ring) => ringBetween(ring, grid, corners)));
  }, [surface, sheet, isZoned]);
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
