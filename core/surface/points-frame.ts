/** The plane of a field, from its points. */
import type { FieldPoints } from '../result.ts';
import { type LocalFrame, localFrame } from '../track/local-frame.ts';

/** Each round brings the origin a thousandfold nearer. */
const ROUNDS = 5;

/**
 * The plane in which the points' east and north are metres: its origin is sought so that a point's longitude and latitude fall
 * where its metres say. `undefined` when no point has a position.
 */
export function frameOfPoints(
  points: Pick<FieldPoints, 'longitude_deg' | 'latitude_deg' | 'east_m' | 'north_m'>,
): LocalFrame | undefined {
  const { longitude_deg, latitude_deg, east_m, north_m } = points;
  const row = east_m.findIndex((east, i) =>
    Number.isFinite(east + north_m[i] + longitude_deg[i] + latitude_deg[i]),
  );
  if (row < 0) return undefined;
  let frame = localFrame(longitude_deg[row], latitude_deg[row]);
  for (let round = 0; round < ROUNDS; round++) {
    const here = frame.toPlane([longitude_deg[row]], [latitude_deg[row]]);
    const origin = frame.toGeographic([here.east_m[0] - east_m[row]], [here.north_m[0] - north_m[row]]);
    frame = localFrame(origin.longitude_deg[0], origin.latitude_deg[0]);
  }
  return frame;
}
