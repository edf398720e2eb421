/** Rings of a GeoJSON boundary, for drawing only; the host judges boundaries. */
import type { LonLatRing } from '../map/types.ts';

/** Every ring of every polygon in `text`; none when it is not GeoJSON. */
export function ringsOf(text: string): readonly LonLatRing[] {
  try {
    return ringsIn(JSON.parse(text));
  } catch {
    return [];
  }
}

function ringsIn(part: unknown): LonLatRing[] {
  if (typeof part !== 'object' || part === null || !('type' in part)) return [];
  if ('features' in part && Array.isArray(part.features)) return part.features.flatMap(ringsIn);
  if ('geometries' in part && Array.isArray(part.geometries)) return part.geometries.flatMap(ringsIn);
  if ('geometry' in part) return ringsIn(part.geometry);
  if (!('coordinates' in part) || !Array.isArray(part.coordinates)) return [];
  if (part.type === 'Polygon') return part.coordinates.filter(isRing);
  if (part.type === 'MultiPolygon') return part.coordinates.flat().filter(isRing);
  return [];
}

function isRing(ring: unknown): ring is LonLatRing {
  return (
    Array.isArray(ring) &&
    ring.every(
      (place) => Array.isArray(place) && typeof place[0] === 'number' && typeof place[1] === 'number',
    )
  );
}
