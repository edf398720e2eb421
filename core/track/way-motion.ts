/** How a machine moved between the rows of its track, and across which silences its way can be told. */
import { lengthOf } from '../columns.ts';
import { shortTurn } from './short-turn.ts';
import { GAP_S } from './smooth.ts';
import type { Track } from './track.ts';

/** What passes are found from. */
export type PassWay = Pick<Track, 't_s' | 'east_m' | 'north_m' | 'speed_m_s' | 'heading_rad' | 'reversing'>;

/** Turn rates are taken over this time to either side. */
const TURN_WINDOW_S = 1;
/** Silence up to this long is bridged when the machine comes out of it as it went in, straight and steady. */
const LONGEST_SILENCE_S = 30;
const STRAIGHT_RAD = (12 * Math.PI) / 180;
const STEADY = 0.35;

/** Motion per interval. */
export interface Motion {
  readonly duration_s: Float64Array;
  readonly way_m: Float64Array;
  readonly speed_m_s: Float64Array;
  /** Over a window about the interval. */
  readonly turn_rad_s: Float64Array;
  /** Heading run on without leaps, per row. */
  readonly unwrapped_rad: Float64Array;
  /** 1 where positions join: no silence, or one that can be bridged, and not backing. */
  readonly joined: Uint8Array;
}

export function motionOf(way: PassWay): Motion {
  const { t_s, east_m, north_m, heading_rad, reversing } = way;
  const n = Math.max(0, t_s.length - 1);
  const duration_s = new Float64Array(n);
  const way_m = new Float64Array(n);
  const joined = new Uint8Array(n);
  const unwrapped_rad = heading_rad.slice();
  for (let i = 0; i < n; i++) {
    duration_s[i] = t_s[i + 1] - t_s[i];
    way_m[i] = lengthOf(east_m[i + 1] - east_m[i], north_m[i + 1] - north_m[i]);
    unwrapped_rad[i + 1] = unwrapped_rad[i] + shortTurn(heading_rad[i], heading_rad[i + 1]);
    joined[i] = duration_s[i] <= GAP_S || isBridged(way, i, duration_s[i], way_m[i]) ? 1 : 0;
    if (reversing[i] || reversing[i + 1]) joined[i] = 0;
  }
  const turn_rad_s = new Float64Array(n);
  let first = 0;
  let last = 0;
  for (let i = 0; i < n; i++) {
    while (t_s[i] - t_s[first] > TURN_WINDOW_S) first++;
    while (last < n && t_s[last] - t_s[i + 1] < TURN_WINDOW_S) last++;
    turn_rad_s[i] = Math.abs(unwrapped_rad[last] - unwrapped_rad[first]) / (t_s[last] - t_s[first]);
  }
  return {
    duration_s,
    way_m,
    speed_m_s: way_m.map((way, i) => way / duration_s[i]),
    turn_rad_s,
    unwrapped_rad,
    joined,
  };
}

/** Whether the machine came out of a silence as it went in: straight ahead at the same speed. */
function isBridged(way: PassWay, i: number, duration_s: number, way_m: number): boolean {
  if (duration_s > LONGEST_SILENCE_S) return false;
  const { east_m, north_m, heading_rad, speed_m_s } = way;
  const bearing_rad = Math.atan2(east_m[i + 1] - east_m[i], north_m[i + 1] - north_m[i]);
  const expected_m = ((speed_m_s[i] + speed_m_s[i + 1]) / 2) * duration_s;
  return (
    Math.abs(way_m - expected_m) <= STEADY * expected_m &&
    Math.abs(shortTurn(heading_rad[i], bearing_rad)) <= STRAIGHT_RAD &&
    Math.abs(shortTurn(heading_rad[i + 1], bearing_rad)) <= STRAIGHT_RAD
  );
}
