/** How long the outline of a field is, to tell a field from a mistake. */

/** Mean degree of latitude, km; within 1 % anywhere [WGS84]. */
const KM_PER_DEG = 111.2;
const RAD_PER_DEG = Math.PI / 180;

/** Length of all rings, km, to a few per cent; edges over the 180° meridian go the short way. Rings are interleaved lon, lat. */
export function outlineLength_km(rings: readonly Float64Array[]): number {
  let sum_km = 0;
  for (const ring of rings) {
    for (let i = 2; i < ring.length; i += 2) {
      const turn_deg = Math.abs(ring[i] - ring[i - 2]) % 360;
      const east_km = Math.min(turn_deg, 360 - turn_deg) * KM_PER_DEG * Math.cos(ring[i + 1] * RAD_PER_DEG);
      sum_km += Math.hypot(east_km, (ring[i + 1] - ring[i - 1]) * KM_PER_DEG);
    }
  }
  return sum_km;
}
