/** A plane good enough for jumps of metres. */

/** Metres per degree of latitude and of longitude about a latitude; good to 0.6 % anywhere. */
export function metresPerDegree(latitude_deg: number): {
  readonly latitude: number;
  readonly longitude: number;
} {
  const M_PER_DEG = 111_300;
  return { latitude: M_PER_DEG, longitude: M_PER_DEG * Math.cos((latitude_deg * Math.PI) / 180) };
}
