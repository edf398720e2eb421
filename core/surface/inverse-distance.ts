/** Means weighted by a power of the distance [Shepard1968]. */
import { NearestPlaces, type SearchLimits } from '../stats/nearest-places.ts';
import type { MeasuredPlaces } from './variogram.ts';

export interface InverseDistanceOptions {
  /** 2 when absent. */
  readonly power?: number;
  /** Which measurements count; all when absent. */
  readonly search?: SearchLimits;
  /** Which measurements go together, for leaving a group out; each is its own when absent. */
  readonly groups?: Int32Array;
}

export const USUAL_POWER = 2;

/** `Σ d⁻ᵖ z / Σ d⁻ᵖ` about a place; the measurement itself where there is one. One place at a time. */
export class InverseDistance {
  readonly #places: MeasuredPlaces;
  readonly #index: NearestPlaces;
  readonly #search: SearchLimits;
  readonly #halfPower: number;

  /** From `places` without NaN. Throws RangeError for a power that is not above zero. */
  constructor(places: MeasuredPlaces, options: InverseDistanceOptions = {}) {
    const { power = USUAL_POWER } = options;
    if (!(power > 0)) throw new RangeError(`inverse distance needs a power above zero, not ${power}`);
    this.#places = places;
    this.#halfPower = power / 2;
    this.#index = new NearestPlaces(places.east_m, places.north_m, options.groups);
    this.#search = options.search ?? { most: Math.max(1, places.measured.length) };
  }

  /** NaN where no measurement is near enough; `except` names a group of measurements to leave out. */
  at(east_m: number, north_m: number, except = -1): number {
    const n = this.#index.nearest(east_m, north_m, this.#search, except);
    if (n === 0) return Number.NaN;
    const { rows, squared_m2 } = this.#index;
    const { measured } = this.#places;
    const origin = measured[rows[0]];
    if (squared_m2[0] === 0) return this.#meanAtPlace(n);
    let [sum, weights] = [0, 0];
    for (let k = 0; k < n; k++) {
      // relative to the nearest, so that no power overflows
      const weight = (squared_m2[0] / squared_m2[k]) ** this.#halfPower;
      sum += weight * (measured[rows[k]] - origin);
      weights += weight;
    }
    return origin + sum / weights;
  }

  #meanAtPlace(n: number): number {
    const { rows, squared_m2 } = this.#index;
    let sum = 0;
    let count = 0;
    while (count < n && squared_m2[count] === 0) sum += this.#places.measured[rows[count++]];
    return sum / count;
  }
}
