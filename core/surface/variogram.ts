/** The empirical variogram: half the mean square of differences, by distance and direction [Matheron1962; Cressie1993 §2.4]. */
import { NearestPlaces } from '../stats/nearest-places.ts';

/** What was measured, and where. Rows of equal length; those that hold a NaN are left out. */
export interface MeasuredPlaces {
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  readonly measured: Float64Array;
  /** Variance of each measurement's own error, where it is known: the surface is then of what lies behind it. */
  readonly noise_variance?: Float64Array;
}

export interface VariogramBins {
  /** A third of the diagonal of the box around all places when absent. */
  readonly cutoff_m?: number;
  /** A fifteenth of the cutoff when absent. */
  readonly width_m?: number;
  /** Only pairs along this direction, clockwise from north, one way or the other. */
  readonly azimuth_deg?: number;
  /** How far off that direction a pair may be; 22.5° when absent. */
  readonly tolerance_deg?: number;
  /** As many pairs at most, about: from evenly taken places to all around them. All pairs when absent. */
  readonly most_pairs?: number;
}

/** One row a distance class that holds a pair. */
export interface EmpiricalVariogram {
  readonly pairs: Float64Array;
  /** Mean distance of the class's pairs. */
  readonly distance_m: Float64Array;
  /** Mean of `(zᵢ − zⱼ)²/2`. */
  readonly semivariance: Float64Array;
  readonly cutoff_m: number;
  readonly width_m: number;
}

const CLASSES = 15;
const CUTOFF_SHARE = 1 / 3;
const TOLERANCE_DEG = 22.5;
/** A pair on the very edge of a direction's tolerance is in it. */
const ANGLE_SLACK = 1e-9;
/** Multiples of it, taken modulo 1, spread evenly without repeating [Weyl1916]. */
const GOLDEN = (Math.sqrt(5) - 1) / 2;

/**
 * Distance classes `(0, w], (w, 2w] …` up to the cutoff, each pair once; pairs at one place are in the first class. Where
 * `most_pairs` is given, the pairs from some places, spread evenly, to all around them: the same expectation from fewer pairs.
 * No rows when there are no two places. Throws RangeError for bins that are none.
 */
export function empiricalVariogram(places: MeasuredPlaces, bins: VariogramBins = {}): EmpiricalVariogram {
  return empiricalVariograms(places, bins, [bins.azimuth_deg])[0];
}

/** The same along several directions at once; a direction of `undefined` is every one. */
export function empiricalVariograms(
  places: MeasuredPlaces,
  bins: Omit<VariogramBins, 'azimuth_deg'>,
  azimuths_deg: readonly (number | undefined)[],
): EmpiricalVariogram[] {
  const rows = wholeRows(places);
  const { cutoff_m = CUTOFF_SHARE * diagonal_m(places, rows) } = bins;
  const { width_m = cutoff_m / CLASSES, tolerance_deg = TOLERANCE_DEG } = bins;
  if (rows.length < 2 || cutoff_m === 0) return azimuths_deg.map(() => none(cutoff_m, width_m));
  if (!(cutoff_m > 0 && width_m > 0 && cutoff_m / width_m < 10_000))
    throw new RangeError(`a variogram needs a cutoff and a width above zero, not ${cutoff_m} and ${width_m}`);
  const classes = Math.ceil(cutoff_m / width_m - 1e-9);
  const along = azimuths_deg.map((azimuth_deg) => ({
    holds: directionFilter(azimuth_deg, tolerance_deg),
    tally: new PairTally(classes, width_m),
  }));
  eachPair(places, rows, cutoff_m, bins.most_pairs, (i, j, dx, dy) => {
    const distance_m = Math.sqrt(dx * dx + dy * dy);
    if (distance_m > cutoff_m) return;
    const difference = places.measured[i] - places.measured[j];
    for (const { holds, tally } of along) if (holds(dx, dy, distance_m)) tally.add(distance_m, difference);
  });
  return along.map(({ tally }) => ({ ...tally.toVariogram(), cutoff_m, width_m }));
}

class PairTally {
  readonly #width_m: number;
  readonly #pairs: Float64Array;
  readonly #distance_m: Float64Array;
  readonly #halfSquares: Float64Array;

  constructor(classes: number, width_m: number) {
    this.#width_m = width_m;
    this.#pairs = new Float64Array(classes);
    this.#distance_m = new Float64Array(classes);
    this.#halfSquares = new Float64Array(classes);
  }

  add(distance_m: number, difference: number): void {
    const last = this.#pairs.length - 1;
    const bin = Math.min(Math.max(Math.ceil(distance_m / this.#width_m) - 1, 0), last);
    this.#pairs[bin]++;
    this.#distance_m[bin] += distance_m;
    this.#halfSquares[bin] += 0.5 * difference * difference;
  }

  toVariogram(): Pick<EmpiricalVariogram, 'pairs' | 'distance_m' | 'semivariance'> {
    const isHeld = (_: number, bin: number) => this.#pairs[bin] > 0;
    const pairs = this.#pairs.filter(isHeld);
    return {
      pairs,
      distance_m: this.#distance_m.filter(isHeld).map((sum, bin) => sum / pairs[bin]),
      semivariance: this.#halfSquares.filter(isHeld).map((sum, bin) => sum / pairs[bin]),
    };
  }
}

type PairVisitor = (i: number, j: number, dx_m: number, dy_m: number) => void;

/** Each pair of `rows` within the cutoff, or as many as asked for. */
function eachPair(
  places: MeasuredPlaces,
  rows: Int32Array,
  cutoff_m: number,
  mostPairs: number | undefined,
  visit: PairVisitor,
): void {
  const { east_m, north_m } = places;
  if (mostPairs === undefined) {
    for (let a = 0; a < rows.length; a++) {
      for (let b = a + 1; b < rows.length; b++) {
        const [i, j] = [rows[a], rows[b]];
        visit(i, j, east_m[i] - east_m[j], north_m[i] - north_m[j]);
      }
    }
    return;
  }
  const index = new NearestPlaces(picked(east_m, rows), picked(north_m, rows));
  const heads = spreadRows(rows.length, mostPairs / pairsAbout(places, rows, cutoff_m));
  const isHead = new Uint8Array(rows.length);
  for (const a of heads) isHead[a] = 1;
  for (const a of heads) {
    const i = rows[a];
    index.visitWithin(east_m[i], north_m[i], cutoff_m, (b) => {
      // a pair of two heads is met from both
      if (b === a || (isHead[b] === 1 && b < a)) return;
      const j = rows[b];
      visit(i, j, east_m[i] - east_m[j], north_m[i] - north_m[j]);
    });
  }
}

/** About a share of `count` rows, one from each stretch, at places in it that follow no pattern of the rows. */
function spreadRows(count: number, share: number): Int32Array {
  if (share >= 1) return Int32Array.from({ length: count }, (_, k) => k);
  const heads = Math.max(1, Math.round(share * count));
  const stretch = count / heads;
  return Int32Array.from({ length: heads }, (_, k) => Math.floor((k + ((k * GOLDEN) % 1)) * stretch));
}

/** How many ordered pairs lie within the cutoff, were the places spread evenly over their box. */
function pairsAbout(places: MeasuredPlaces, rows: Int32Array, cutoff_m: number): number {
  const { width_m, height_m } = box(places, rows);
  const area_m2 = Math.max(width_m, cutoff_m) * Math.max(height_m, cutoff_m);
  return rows.length ** 2 * Math.min(1, (Math.PI * cutoff_m ** 2) / area_m2);
}

function directionFilter(
  azimuth_deg: number | undefined,
  tolerance_deg: number,
): (dx: number, dy: number, distance_m: number) => boolean {
  if (azimuth_deg === undefined || tolerance_deg >= 90) return () => true;
  if (!(tolerance_deg > 0))
    throw new RangeError(`a direction needs a tolerance above zero, not ${tolerance_deg}°`);
  const angle = (azimuth_deg * Math.PI) / 180;
  const [east, north] = [Math.sin(angle), Math.cos(angle)];
  const least = Math.cos((tolerance_deg * Math.PI) / 180) - ANGLE_SLACK;
  return (dx, dy, distance_m) => Math.abs(dx * east + dy * north) >= least * distance_m;
}

function none(cutoff_m: number, width_m: number): EmpiricalVariogram {
  const empty = new Float64Array(0);
  return { pairs: empty, distance_m: empty, semivariance: empty, cutoff_m, width_m };
}

/** Rows that have a place and a measurement. */
export function wholeRows({ east_m, north_m, measured }: MeasuredPlaces): Int32Array {
  const n = measured.length;
  if (east_m.length !== n || north_m.length !== n)
    throw new RangeError(`${n} measurements have ${east_m.length} eastings and ${north_m.length} northings`);
  const rows = new Int32Array(n);
  let count = 0;
  for (let i = 0; i < n; i++) if (Number.isFinite(east_m[i] + north_m[i] + measured[i])) rows[count++] = i;
  return rows.slice(0, count);
}

function picked(column: Float64Array, rows: Int32Array): Float64Array {
  return Float64Array.from(rows, (row) => column[row]);
}

function diagonal_m(places: MeasuredPlaces, rows: Int32Array): number {
  const { width_m, height_m } = box(places, rows);
  return Math.sqrt(width_m ** 2 + height_m ** 2);
}

function box({ east_m, north_m }: MeasuredPlaces, rows: Int32Array): { width_m: number; height_m: number } {
  let [west, east, south, north] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const row of rows) {
    west = Math.min(west, east_m[row]);
    east = Math.max(east, east_m[row]);
    south = Math.min(south, north_m[row]);
    north = Math.max(north, north_m[row]);
  }
  return rows.length > 0 ? { width_m: east - west, height_m: north - south } : { width_m: 0, height_m: 0 };
}
