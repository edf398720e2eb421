/**
 * Paths over the ground. Angles here are mathematical (radians anticlockwise from east) and run on without
 * wrapping, so that they can be interpolated.
 */

export interface Path {
  readonly s_m: Float64Array;
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  readonly theta_rad: Float64Array;
  readonly length_m: number;
}

/** A place and a direction. */
export interface Pose {
  readonly east_m: number;
  readonly north_m: number;
  readonly theta_rad: number;
}

/** A path through points (at least two, none repeated), its direction taken from the neighbours of each point. */
export function pathThrough(east_m: Float64Array, north_m: Float64Array): Path {
  const n = east_m.length;
  if (n < 2) throw new RangeError(`a path needs at least 2 points, got ${n}`);
  const s_m = new Float64Array(n);
  const theta_rad = new Float64Array(n);
  for (let i = 1; i < n; i++) {
    s_m[i] = s_m[i - 1] + Math.hypot(east_m[i] - east_m[i - 1], north_m[i] - north_m[i - 1]);
  }
  for (let i = 0; i < n; i++) {
    const before = Math.max(0, i - 1);
    const after = Math.min(n - 1, i + 1);
    const angle = Math.atan2(north_m[after] - north_m[before], east_m[after] - east_m[before]);
    theta_rad[i] = i === 0 ? angle : theta_rad[i - 1] + wrapped_rad(angle - theta_rad[i - 1]);
  }
  return { s_m, east_m, north_m, theta_rad, length_m: s_m[n - 1] };
}

/** An angle brought into −π..π. */
export function wrapped_rad(angle_rad: number): number {
  return angle_rad - 2 * Math.PI * Math.round(angle_rad / (2 * Math.PI));
}

/** Walks along a path, forward only, in constant time a step. */
export class PathWalker {
  readonly path: Path;
  #segment = 0;

  constructor(path: Path) {
    this.path = path;
  }

  poseAt(s_m: number): Pose {
    const { path } = this;
    const held = Math.min(path.length_m, Math.max(0, s_m));
    const last = path.s_m.length - 2;
    while (this.#segment < last && path.s_m[this.#segment + 1] < held) this.#segment++;
    const i = this.#segment;
    const share = (held - path.s_m[i]) / (path.s_m[i + 1] - path.s_m[i]);
    return {
      east_m: path.east_m[i] + share * (path.east_m[i + 1] - path.east_m[i]),
      north_m: path.north_m[i] + share * (path.north_m[i + 1] - path.north_m[i]),
      theta_rad: path.theta_rad[i] + share * (path.theta_rad[i + 1] - path.theta_rad[i]),
    };
  }
}

/** The pose at the end of a path. */
export function endOf(path: Path): Pose {
  const last = path.s_m.length - 1;
  return { east_m: path.east_m[last], north_m: path.north_m[last], theta_rad: path.theta_rad[last] };
}

/** The pose at the start of a path. */
export function startOf(path: Path): Pose {
  return { east_m: path.east_m[0], north_m: path.north_m[0], theta_rad: path.theta_rad[0] };
}
