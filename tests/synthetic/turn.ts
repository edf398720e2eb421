/**
 * Turns on the headland: the shortest path between two poses that never bends tighter than a given radius
 * [Dubins1957]; three pieces, each a left arc, a right arc or straight. Between neighbouring passes it comes out
 * as the bulb-shaped turn that drivers make. Formulas after [ShkelLumelsky2001 eq 11-20].
 */
import { type Path, type Pose, pathThrough, wrapped_rad } from './path.ts';

type Bend = 'L' | 'S' | 'R';
type Word = readonly [Bend, Bend, Bend];

const STEP_M = 0.4;

/** The path from one pose to another, radius at least `radius_m`. */
export function turnBetween(from: Pose, to: Pose, radius_m: number): Path {
  const across = to.east_m - from.east_m;
  const up = to.north_m - from.north_m;
  const bearing = Math.atan2(up, across);
  const distance = Math.hypot(across, up) / radius_m;
  const a = from.theta_rad - bearing;
  const b = to.theta_rad - bearing;
  let best: Path | undefined;
  for (const [word, lengths] of candidates(a, b, distance)) {
    const path = traced(from, word, lengths, radius_m);
    if (path !== undefined && endsAt(path, to) && (best === undefined || path.length_m < best.length_m)) {
      best = path;
    }
  }
  if (best === undefined) {
    throw new RangeError(`no turn of radius ${radius_m} m between poses ${distance * radius_m} m apart`);
  }
  return best;
}

function candidates(a: number, b: number, d: number): [Word, [number, number, number]][] {
  const sa = Math.sin(a);
  const sb = Math.sin(b);
  const ca = Math.cos(a);
  const cb = Math.cos(b);
  const cab = Math.cos(a - b);
  const found: [Word, [number, number, number]][] = [];
  const add = (word: Word, t: number, p: number, q: number): void => {
    if (Number.isFinite(t + p + q)) found.push([word, [t, p, q]]);
  };
  const lsl = Math.atan2(cb - ca, d + sa - sb);
  add(['L', 'S', 'L'], turned(lsl - a), Math.sqrt(2 + d * d - 2 * cab + 2 * d * (sa - sb)), turned(b - lsl));
  const rsr = Math.atan2(ca - cb, d - sa + sb);
  add(['R', 'S', 'R'], turned(a - rsr), Math.sqrt(2 + d * d - 2 * cab + 2 * d * (sb - sa)), turned(rsr - b));
  const pLsr = Math.sqrt(d * d - 2 + 2 * cab + 2 * d * (sa + sb));
  const lsr = Math.atan2(-ca - cb, d + sa + sb) - Math.atan2(-2, pLsr);
  add(['L', 'S', 'R'], turned(lsr - a), pLsr, turned(lsr - b));
  const pRsl = Math.sqrt(d * d - 2 + 2 * cab - 2 * d * (sa + sb));
  const rsl = Math.atan2(ca + cb, d - sa - sb) - Math.atan2(2, pRsl);
  add(['R', 'S', 'L'], turned(a - rsl), pRsl, turned(b - rsl));
  const pRlr = 2 * Math.PI - Math.acos((6 - d * d + 2 * cab + 2 * d * (sa - sb)) / 8);
  const tRlr = turned(a - Math.atan2(ca - cb, d - sa + sb) + pRlr / 2);
  add(['R', 'L', 'R'], tRlr, pRlr, turned(a - b - tRlr + pRlr));
  const pLrl = 2 * Math.PI - Math.acos((6 - d * d + 2 * cab + 2 * d * (sb - sa)) / 8);
  const tLrl = turned(-a - Math.atan2(ca - cb, d + sa - sb) + pLrl / 2);
  add(['L', 'R', 'L'], tLrl, pLrl, turned(b - a - tLrl + pLrl));
  return found;
}

/** 0 ≤ angle < 2π; a hair below 2π counts as no turn. */
function turned(angle: number): number {
  const full = 2 * Math.PI;
  const positive = ((angle % full) + full) % full;
  return full - positive < 1e-9 ? 0 : positive;
}

function traced(from: Pose, word: Word, lengths: readonly number[], radius_m: number): Path | undefined {
  const east = [from.east_m];
  const north = [from.north_m];
  const theta = [from.theta_rad];
  for (let piece = 0; piece < 3; piece++) {
    const bend = word[piece] === 'L' ? 1 : word[piece] === 'R' ? -1 : 0;
    const steps = Math.ceil((lengths[piece] * radius_m) / STEP_M);
    const step = lengths[piece] / steps;
    for (let i = 0; i < steps; i++) {
      const before = theta[theta.length - 1];
      const after = before + bend * step;
      const middle = (before + after) / 2;
      // The chord of an arc is a little shorter than the arc.
      const chord = bend === 0 ? step * radius_m : 2 * radius_m * Math.sin(step / 2);
      east.push(east[east.length - 1] + chord * Math.cos(middle));
      north.push(north[north.length - 1] + chord * Math.sin(middle));
      theta.push(after);
    }
  }
  if (east.length < 2) return undefined;
  const path = pathThrough(Float64Array.from(east), Float64Array.from(north));
  return { ...path, theta_rad: Float64Array.from(theta) };
}

function endsAt(path: Path, to: Pose): boolean {
  const last = path.s_m.length - 1;
  return (
    Math.hypot(path.east_m[last] - to.east_m, path.north_m[last] - to.north_m) < 0.05 &&
    Math.abs(wrapped_rad(path.theta_rad[last] - to.theta_rad)) < 0.01
  );
}
