/**
 * The plane in which a field is drawn: true metres east and north of a place in it, small enough for 32-bit floats, and
 * the way from there to the unit square of the spherical Mercator projection that the map's matrix starts from.
 *
 * Web maps treat geodetic latitude as if the earth were a sphere; a metre east and a metre north are then not equally
 * long on the map (up to 0.7 %). The frame takes the ellipsoid's two radii of curvature at its origin, so that swaths
 * are as wide as they were cut.
 */

/** WGS84 [NIMA TR8350.2]. */
const WGS84_A_M = 6_378_137;
const WGS84_E2 = 0.00669437999014;

const RAD_PER_DEG = Math.PI / 180;

export interface LocalFrame {
  readonly longitude_deg: number;
  readonly latitude_deg: number;
  /** Origin in the unit square, x from 180° W eastwards, y from the north southwards. */
  readonly mercator_x: number;
  readonly mercator_y: number;
  /** Metres to one side of the unit square at the origin. */
  readonly east_m_per_mercator: number;
  readonly north_m_per_mercator: number;
}

export function mercatorX(longitude_deg: number): number {
  return (180 + longitude_deg) / 360;
}

/** Spherical Mercator, y = (1 − ln tan(π/4 + φ/2)/π)/2 [Snyder1987 eq 7-2]; ±90° goes to infinity. */
export function mercatorY(latitude_deg: number): number {
  return (180 - Math.log(Math.tan(Math.PI / 4 + (latitude_deg * Math.PI) / 360)) / RAD_PER_DEG) / 360;
}

export function latitudeFromMercatorY(mercator_y: number): number {
  return (360 / Math.PI) * Math.atan(Math.exp((180 - mercator_y * 360) * RAD_PER_DEG)) - 90;
}

/** Frame about a place. Throws RangeError when it is not on the map (beyond 85° north or south). */
export function localFrame(longitude_deg: number, latitude_deg: number): LocalFrame {
  if (!(Math.abs(latitude_deg) <= 85 && Number.isFinite(longitude_deg)))
    throw new RangeError(`no map frame about ${longitude_deg}, ${latitude_deg}`);
  const phi = latitude_deg * RAD_PER_DEG;
  const w2 = 1 - WGS84_E2 * Math.sin(phi) ** 2;
  const prime_vertical_m = WGS84_A_M / Math.sqrt(w2);
  const meridian_m = (WGS84_A_M * (1 - WGS84_E2)) / w2 ** 1.5;
  const turn = 2 * Math.PI * Math.cos(phi);
  return {
    longitude_deg,
    latitude_deg,
    mercator_x: mercatorX(longitude_deg),
    mercator_y: mercatorY(latitude_deg),
    east_m_per_mercator: turn * prime_vertical_m,
    north_m_per_mercator: turn * meridian_m,
  };
}

/** Metres east and north of the frame's origin. */
export function metresFromLonLat(
  frame: LocalFrame,
  longitude_deg: number,
  latitude_deg: number,
): [east_m: number, north_m: number] {
  return [
    (mercatorX(longitude_deg) - frame.mercator_x) * frame.east_m_per_mercator,
    (frame.mercator_y - mercatorY(latitude_deg)) * frame.north_m_per_mercator,
  ];
}

export function lonLatFromMetres(
  frame: LocalFrame,
  east_m: number,
  north_m: number,
): [longitude_deg: number, latitude_deg: number] {
  return [
    (frame.mercator_x + east_m / frame.east_m_per_mercator) * 360 - 180,
    latitudeFromMercatorY(frame.mercator_y - north_m / frame.north_m_per_mercator),
  ];
}

/**
 * Matrix from the frame's metres to clip space: `mercator` (column-major 4×4, from the unit square) × translation to the
 * origin × scale. All in 64 bits: only the product, in which the large offsets have cancelled, goes to the GPU.
 */
export function frameMatrix(frame: LocalFrame, mercator: ArrayLike<number>): Float32Array {
  const scale_x = 1 / frame.east_m_per_mercator;
  const scale_y = -1 / frame.north_m_per_mercator;
  const matrix = new Float32Array(16);
  for (let row = 0; row < 4; row++) {
    matrix[row] = mercator[row] * scale_x;
    matrix[4 + row] = mercator[4 + row] * scale_y;
    matrix[8 + row] = mercator[8 + row];
    matrix[12 + row] =
      mercator[row] * frame.mercator_x + mercator[4 + row] * frame.mercator_y + mercator[12 + row];
  }
  return matrix;
}
