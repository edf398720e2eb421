/**
 * The plane in which the simulator lives and its truth is stated: transverse Mercator on the WGS84 ellipsoid,
 * scale 1 on the meridian of the origin, origin (lon0, lat0) at (0, 0), metres east and north. Within 1 km of
 * the origin it is true to scale to 1.3e-8 [Snyder1987 eq 8-11: k = 1 + x²/(2R²)].
 */
import proj4 from 'proj4';

/** Side of the truth's blocks. Block (col, row) covers east 10·col..10·(col+1), north 10·row..10·(row+1). */
export const BLOCK_SIDE_M = 10;

/** Conversion between WGS84 and the plane about one origin. */
export interface BlockFrame {
  readonly lon0: number;
  readonly lat0: number;
  /** Degrees → metres [east, north]. */
  eastNorth(longitude_deg: number, latitude_deg: number): [number, number];
  /** Metres → degrees [longitude, latitude]. */
  lonLat(east_m: number, north_m: number): [number, number];
}

/** The frame about an origin in WGS84 degrees. */
export function blockFrame(lon0: number, lat0: number): BlockFrame {
  const plane = proj4(`+proj=tmerc +lat_0=${lat0} +lon_0=${lon0} +k=1 +x_0=0 +y_0=0 +ellps=WGS84 +units=m`);
  return {
    lon0,
    lat0,
    eastNorth: (longitude_deg, latitude_deg) => pair(plane.forward([longitude_deg, latitude_deg])),
    lonLat: (east_m, north_m) => pair(plane.inverse([east_m, north_m])),
  };
}

function pair(point: number[]): [number, number] {
  return [point[0], point[1]];
}
