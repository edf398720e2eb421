/**
 * Smooth random surfaces: a Gaussian random field as a sum of cosines with random wave vectors and phases, so
 * that it is known everywhere, without a grid. Covariance Matérn with smoothness 3/2,
 * C(r) = (1 + √3 r/a) exp(−√3 r/a); its plane spectral density falls as (1 + k²a²/3)^(−5/2), hence the wave
 * number by inversion of its distribution, k = √(3 (u^(−2/3) − 1)) / a.
 */
import type { Random } from './random.ts';

const WAVES = 96;
/** C(r) has fallen to 5 % at r = 2.739 a: the practical range. */
const RANGE_PER_SCALE = 2.739;
/** Waves shorter than this would be no field's but the simulator's own grain. */
const SHORTEST_WAVE_M = 12;

/** A smooth function of place. */
export interface Surface {
  at(east_m: number, north_m: number): number;
  /** [∂/∂east, ∂/∂north]. */
  slopeAt(east_m: number, north_m: number): [number, number];
}

/** Zero mean, unit variance, practical range `range_m`. */
export function randomSurface(random: Random, range_m: number): Surface {
  if (!(range_m > 0)) throw new RangeError(`range_m must be positive, got ${range_m}`);
  const waveEast = new Float64Array(WAVES);
  const waveNorth = new Float64Array(WAVES);
  const phase = new Float64Array(WAVES);
  const scale_m = range_m / RANGE_PER_SCALE;
  for (let i = 0; i < WAVES; i++) {
    // Stratified wave numbers: every realisation has its share of long and short waves.
    const u = (i + random.between(0.02, 0.98)) / WAVES;
    const k = Math.min(Math.sqrt(3 * (u ** (-2 / 3) - 1)) / scale_m, (2 * Math.PI) / SHORTEST_WAVE_M);
    const direction = random.between(0, 2 * Math.PI);
    waveEast[i] = k * Math.cos(direction);
    waveNorth[i] = k * Math.sin(direction);
    phase[i] = random.between(0, 2 * Math.PI);
  }
  const amplitude = Math.sqrt(2 / WAVES);
  return {
    at(east_m, north_m) {
      let sum = 0;
      for (let i = 0; i < WAVES; i++) {
        sum += Math.cos(waveEast[i] * east_m + waveNorth[i] * north_m + phase[i]);
      }
      return amplitude * sum;
    },
    slopeAt(east_m, north_m) {
      let byEast = 0;
      let byNorth = 0;
      for (let i = 0; i < WAVES; i++) {
        const sine = Math.sin(waveEast[i] * east_m + waveNorth[i] * north_m + phase[i]);
        byEast -= waveEast[i] * sine;
        byNorth -= waveNorth[i] * sine;
      }
      return [amplitude * byEast, amplitude * byNorth];
    },
  };
}
