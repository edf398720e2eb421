/** Plane geometry of a field's edge: corners in order, the last joined to the first. */
import type { Corner } from './scene-spec.ts';

/** Area by the surveyor's formula, about the first corner; positive for anticlockwise corners. */
export function signedArea_m2(corners: readonly Corner[]): number {
  const [east0, north0] = corners[0];
  let twice = 0;
  for (let i = 0; i < corners.length; i++) {
    const [e1, n1] = corners[i];
    const [e2, n2] = corners[(i + 1) % corners.length];
    twice += (e1 - east0) * (n2 - north0) - (e2 - east0) * (n1 - north0);
  }
  return twice / 2;
}

/** The same corners, anticlockwise. */
export function anticlockwise(corners: readonly Corner[]): readonly Corner[] {
  return signedArea_m2(corners) < 0 ? [...corners].reverse() : corners;
}

/** Even-odd rule; a point on the edge may fall either way. */
export function isInside(corners: readonly Corner[], east_m: number, north_m: number): boolean {
  let inside = false;
  for (let i = 0, j = corners.length - 1; i < corners.length; j = i++) {
    const [ei, ni] = corners[i];
    const [ej, nj] = corners[j];
    if (ni > north_m !== nj > north_m && east_m < ei + ((north_m - ni) * (ej - ei)) / (nj - ni)) {
      inside = !inside;
    }
  }
  return inside;
}

/** Distance to the nearest point of the edge, from either side. */
export function distanceToEdge_m(corners: readonly Corner[], east_m: number, north_m: number): number {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < corners.length; i++) {
    const [e1, n1] = corners[i];
    const [e2, n2] = corners[(i + 1) % corners.length];
    const alongEast = e2 - e1;
    const alongNorth = n2 - n1;
    const share =
      ((east_m - e1) * alongEast + (north_m - n1) * alongNorth) / (alongEast ** 2 + alongNorth ** 2);
    const held = Math.min(1, Math.max(0, share));
    least = Math.min(least, Math.hypot(east_m - e1 - held * alongEast, north_m - n1 - held * alongNorth));
  }
  return least;
}

/** [least east, least north, greatest east, greatest north]. */
export function boundingBox(corners: readonly Corner[]): [number, number, number, number] {
  const east = corners.map((corner) => corner[0]);
  const north = corners.map((corner) => corner[1]);
  return [Math.min(...east), Math.min(...north), Math.max(...east), Math.max(...north)];
}
