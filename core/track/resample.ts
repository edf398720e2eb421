/** A track at other moments: cubic between rows with the track's own velocities at both ends, so that turns stay round. */
import { shortTurn } from './short-turn.ts';
import type { Track } from './track.ts';

/** Longer gaps are crossed on the straight line: velocities at their ends say nothing about the middle, s. */
const CUBIC_MAX_S = 5;

/**
 * The track at ascending `times_s` within its span. Heading turns the short way; masks and quality are those of the
 * row before, position errors of the worse end. Throws RangeError on a time outside the track.
 */
export function resampleTrack(track: Track, times_s: Float64Array): Track {
  const n = times_s.length;
  const out = {
    t_s: times_s,
    east_m: new Float64Array(n),
    north_m: new Float64Array(n),
    speed_m_s: new Float64Array(n),
    heading_rad: new Float64Array(n),
    position_se_m: new Float64Array(n),
    altitude_m: new Float64Array(n),
    quality: new Float64Array(n),
    reversing: new Uint8Array(n),
    replaced: new Uint8Array(n),
  };
  const last = track.t_s.length - 1;
  let a = 0;
  for (let k = 0; k < n; k++) {
    const at_s = times_s[k];
    if (!(at_s >= track.t_s[0] && at_s <= track.t_s[last])) {
      throw new RangeError(`No track at ${at_s} s: it runs from ${track.t_s[0]} to ${track.t_s[last]} s.`);
    }
    while (a < last - 1 && track.t_s[a + 1] <= at_s) a++;
    const b = Math.min(last, a + 1);
    const span_s = track.t_s[b] - track.t_s[a];
    const u = span_s > 0 ? (at_s - track.t_s[a]) / span_s : 0;
    const mix = (column: Float64Array) => column[a] + (column[b] - column[a]) * u;
    // most moments are those of rows, where any curve through them is
    const cubic = u > 0 && span_s <= CUBIC_MAX_S;
    out.east_m[k] = cubic ? hermite(track.east_m, track, Math.sin, a, b, u, span_s) : mix(track.east_m);
    out.north_m[k] = cubic ? hermite(track.north_m, track, Math.cos, a, b, u, span_s) : mix(track.north_m);
    out.speed_m_s[k] = mix(track.speed_m_s);
    out.altitude_m[k] = mix(track.altitude_m);
    out.heading_rad[k] = track.heading_rad[a] + u * shortTurn(track.heading_rad[a], track.heading_rad[b]);
    out.position_se_m[k] = Math.max(track.position_se_m[a], track.position_se_m[b]);
    const row = u < 1 ? a : b;
    out.quality[k] = track.quality[row];
    out.reversing[k] = track.reversing[row];
    out.replaced[k] = track.replaced[row];
  }
  return out;
}

function hermite(
  column: Float64Array,
  track: Track,
  component: (heading_rad: number) => number,
  a: number,
  b: number,
  u: number,
  span_s: number,
): number {
  const velocity = (row: number) =>
    (track.reversing[row] === 1 ? -1 : 1) * track.speed_m_s[row] * component(track.heading_rad[row]) * span_s;
  const u2 = u * u;
  const u3 = u2 * u;
  return (
    (2 * u3 - 3 * u2 + 1) * column[a] +
    (u3 - 2 * u2 + u) * velocity(a) +
    (-2 * u3 + 3 * u2) * column[b] +
    (u3 - u2) * velocity(b)
  );
}
