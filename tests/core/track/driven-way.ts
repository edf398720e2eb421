/** A true way of an antenna, leg by leg, and the fixes that a receiver of stated faults would log of it. */
import type { LocalFrame } from '../../../core/track/local-frame.ts';
import type { TimedFixes } from '../../../core/track/track.ts';
import { Random } from '../../synthetic/random.ts';
import { drift } from './drift.ts';

export interface Leg {
  readonly duration_s: number;
  /** Speed aimed at, negative for backing; reached with 0.7 m/s². */
  readonly speed_m_s: number;
  /** 1/radius, positive to the right. */
  readonly curvature_per_m?: number;
}

/** Rows at a steady rate. `heading_rad` is the nose. */
export interface Way {
  readonly t_s: Float64Array;
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  readonly heading_rad: Float64Array;
  /** Negative when backing. */
  readonly speed_m_s: Float64Array;
  readonly leg: Int32Array;
}

const STEP_S = 0.01;
const ACCELERATION_M_S2 = 0.7;

export function drivenWay(legs: readonly Leg[], interval_s: number): Way {
  const rows: number[][] = [];
  const every = Math.round(interval_s / STEP_S);
  let [east, north, heading, speed, step] = [0, 0, 0, 0, 0];
  legs.forEach(({ duration_s, speed_m_s, curvature_per_m = 0 }, leg) => {
    for (let k = 0; k < Math.round(duration_s / STEP_S); k++) {
      if (step % every === 0) rows.push([step * STEP_S, east, north, heading, speed, leg]);
      step++;
      const change = Math.max(-1, Math.min(1, (speed_m_s - speed) / (ACCELERATION_M_S2 * STEP_S)));
      speed += change * ACCELERATION_M_S2 * STEP_S;
      heading += speed * curvature_per_m * STEP_S;
      east += speed * Math.sin(heading) * STEP_S;
      north += speed * Math.cos(heading) * STEP_S;
    }
  });
  const column = (at: number) => Float64Array.from(rows, (row) => row[at]);
  return {
    t_s: column(0),
    east_m: column(1),
    north_m: column(2),
    heading_rad: column(3),
    speed_m_s: column(4),
    leg: Int32Array.from(rows, (row) => row[5]),
  };
}

export interface Receiver {
  readonly seed: number;
  readonly white_m: number;
  readonly slow_m?: number;
  /** NaN: no speed and course logged. */
  readonly velocity_m_s?: number;
  readonly quality?: number;
}

/** Plain arrays, so that tests can spoil them before `columnsOf`. */
export interface LoggedFixes {
  t_s: number[];
  east_m: number[];
  north_m: number[];
  speed_m_s: number[];
  course_deg: number[];
  quality: number[];
}

export function loggedFixes(way: Way, receiver: Receiver): LoggedFixes {
  const { seed, white_m, slow_m = 0, velocity_m_s = 0.05, quality = 4 } = receiver;
  const noise = new Random(seed, 'track');
  const interval_s = way.t_s[1] - way.t_s[0];
  const slowEast = drift(noise, slow_m, 300, interval_s);
  const slowNorth = drift(noise, slow_m, 300, interval_s);
  const logged: LoggedFixes = {
    t_s: [],
    east_m: [],
    north_m: [],
    speed_m_s: [],
    course_deg: [],
    quality: [],
  };
  for (let k = 0; k < way.t_s.length; k++) {
    logged.t_s.push(way.t_s[k]);
    logged.east_m.push(way.east_m[k] + slowEast() + white_m * noise.normal());
    logged.north_m.push(way.north_m[k] + slowNorth() + white_m * noise.normal());
    const east = way.speed_m_s[k] * Math.sin(way.heading_rad[k]) + velocity_m_s * noise.normal();
    const north = way.speed_m_s[k] * Math.cos(way.heading_rad[k]) + velocity_m_s * noise.normal();
    logged.speed_m_s.push(Math.hypot(east, north));
    logged.course_deg.push(((Math.atan2(east, north) * 180) / Math.PI + 360) % 360);
    logged.quality.push(quality);
  }
  return logged;
}

export function columnsOf(logged: LoggedFixes, frame: LocalFrame): TimedFixes {
  const { longitude_deg, latitude_deg } = frame.toGeographic(logged.east_m, logged.north_m);
  const absent = new Float64Array(logged.t_s.length).fill(Number.NaN);
  return {
    t_s: Float64Array.from(logged.t_s),
    longitude_deg,
    latitude_deg,
    altitude_m: absent,
    speed_m_s: Float64Array.from(logged.speed_m_s),
    course_deg: Float64Array.from(logged.course_deg),
    quality: Float64Array.from(logged.quality),
    satellites: absent,
    hdop: absent,
  };
}
