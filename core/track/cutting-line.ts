/** From where the antenna is to where the crop is cut. */
import type { AntennaSheet } from '../season.ts';
import type { Track } from './track.ts';

/** The middle of the cutting line, one row a track row. */
export interface CuttingLine {
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
}

/**
 * The middle of the cutting line = antenna − ahead·(sin θ, cos θ) − right·(cos θ, −sin θ) with heading θ clockwise
 * from north: `ahead_of_cut_m` is positive when the antenna is ahead of the cutting line, `right_of_centre_m` when it
 * is right of the header's middle. θ is the course at the antenna; that is the machine's own direction when the
 * antenna is near the unsteered axle, as on a cab roof. Without offsets the antenna stands for the cutting line.
 */
export function cuttingLine(track: Track, antenna: AntennaSheet | undefined): CuttingLine {
  const { ahead_of_cut_m, right_of_centre_m } = antenna ?? { ahead_of_cut_m: 0, right_of_centre_m: 0 };
  if (!Number.isFinite(ahead_of_cut_m) || !Number.isFinite(right_of_centre_m)) {
    throw new RangeError(`antenna offsets must be numbers, not ${ahead_of_cut_m} and ${right_of_centre_m}`);
  }
  const east_m = new Float64Array(track.t_s.length);
  const north_m = new Float64Array(track.t_s.length);
  for (let i = 0; i < east_m.length; i++) {
    const sin = Math.sin(track.heading_rad[i]);
    const cos = Math.cos(track.heading_rad[i]);
    east_m[i] = track.east_m[i] - ahead_of_cut_m * sin - right_of_centre_m * cos;
    north_m[i] = track.north_m[i] - ahead_of_cut_m * cos + right_of_centre_m * sin;
  }
  return { east_m, north_m };
}
