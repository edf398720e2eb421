/** Moran's index of how alike neighbours are: over all places [Moran1950; CliffOrd1981], and at each one [Anselin1995]. */
import { mean } from './moments.ts';
import { NearestPlaces } from './nearest-places.ts';
import { normalTwoSidedTail } from './normal.ts';

/** The k nearest of every place, k rows of `rows` each; each counts `1/k`. */
export interface NeighbourTable {
  readonly count: number;
  readonly rows: Int32Array;
}

/**
 * The `count` nearest of every place, itself left out: O(n log n). Throws RangeError unless there are more places than that
 * and all have a position.
 */
export function nearestNeighbours(
  east_m: Float64Array,
  north_m: Float64Array,
  count: number,
): NeighbourTable {
  const n = east_m.length;
  if (!(count >= 1 && count < n)) throw new RangeError(`${n} places have no ${count} neighbours each`);
  const index = new NearestPlaces(east_m, north_m);
  const rows = new Int32Array(n * count);
  const limits = { most: count };
  for (let i = 0; i < n; i++) {
    const found = index.nearest(east_m[i], north_m[i], limits, i);
    if (found < count) throw new RangeError(`place ${i} has ${found} neighbours, not ${count}`);
    for (let k = 0; k < count; k++) rows[i * count + k] = index.rows[k];
  }
  return { count, rows };
}

/** One row a place. */
export interface LocalMoran {
  /** `Iᵢ = (zᵢ − z̄)/m₂ · mean of neighbours' (zⱼ − z̄)`, `m₂ = Σ(z − z̄)²/n`: below zero for a place unlike its neighbours. */
  readonly index: Float64Array;
  /** `(Iᵢ − E)/√Var` under random change of the other places [SokalOdenThomson1998 appendix]. */
  readonly z: Float64Array;
  /** Two-sided probability of such a z. */
  readonly p: Float64Array;
  /** Mean of the neighbours. */
  readonly lag: Float64Array;
}

/** Local Moran's index of every place. NaN everywhere when nothing differs. Throws RangeError when the columns do not belong together. */
export function localMoran(column: Float64Array, neighbours: NeighbourTable): LocalMoran {
  const n = mustBelong(column, neighbours);
  const centre = mean(column);
  const off = column.map((z) => z - centre);
  const m2 = squaresOf(off) / n;
  const lag = lagOf(off, neighbours);
  const index = new Float64Array(n);
  const z = new Float64Array(n);
  const p = new Float64Array(n);
  // weights of a place sum to 1, their squares to 1/k
  const weightSpread = 1 / neighbours.count - 1 / (n - 1);
  for (let i = 0; i < n; i++) {
    const share = off[i] ** 2;
    index[i] = (off[i] / m2) * lag[i];
    const expected = -share / ((n - 1) * m2);
    const variance = (share / m2 ** 2) * (n / (n - 2)) * weightSpread * (m2 - share / (n - 1));
    z[i] = (index[i] - expected) / Math.sqrt(variance);
    p[i] = normalTwoSidedTail(z[i]);
    lag[i] += centre;
  }
  return { index, z, p, lag };
}

export interface GlobalMoran {
  readonly index: number;
  /** `−1/(n − 1)`. */
  readonly expected: number;
  /** Under random change of places [CliffOrd1981 eq 2.41]. */
  readonly variance: number;
  readonly z: number;
}

/** Moran's index over all places. NaN when nothing differs. Throws RangeError when the columns do not belong together. */
export function globalMoran(column: Float64Array, neighbours: NeighbourTable): GlobalMoran {
  const n = mustBelong(column, neighbours);
  const centre = mean(column);
  const off = column.map((z) => z - centre);
  const squares = squaresOf(off);
  const lag = lagOf(off, neighbours);
  let together = 0;
  let fourth = 0;
  for (let i = 0; i < n; i++) {
    together += off[i] * lag[i];
    fourth += off[i] ** 4;
  }
  const index = together / squares;
  const expected = -1 / (n - 1);
  const { s1, s2 } = weightSums(n, neighbours);
  const kurtosis = (n * fourth) / squares ** 2;
  const s0 = n;
  const first = n * ((n * n - 3 * n + 3) * s1 - n * s2 + 3 * s0 * s0);
  const second = kurtosis * ((n * n - n) * s1 - 2 * n * s2 + 6 * s0 * s0);
  const variance = (first - second) / ((n - 1) * (n - 2) * (n - 3) * s0 * s0) - expected ** 2;
  return { index, expected, variance, z: (index - expected) / Math.sqrt(variance) };
}

/** `S₁ = ½ Σ(wᵢⱼ + wⱼᵢ)²`, `S₂ = Σ(wᵢ· + w·ᵢ)²`. */
function weightSums(n: number, { count, rows }: NeighbourTable): { s1: number; s2: number } {
  const weight = 1 / count;
  const inDegree = new Int32Array(n);
  for (const row of rows) inDegree[row]++;
  let mutual = 0;
  let s2 = 0;
  for (let i = 0; i < n; i++) {
    s2 += (1 + weight * inDegree[i]) ** 2;
    for (let k = i * count; k < (i + 1) * count; k++) {
      const j = rows[k];
      for (let m = j * count; m < (j + 1) * count; m++) if (rows[m] === i) mutual++;
    }
  }
  // a pair that is neighbours both ways counts (2w)² twice, one that is so one way w² twice, halved
  const oneWay = n * count - mutual;
  return { s1: weight ** 2 * (oneWay + 2 * mutual), s2 };
}

function lagOf(off: Float64Array, { count, rows }: NeighbourTable): Float64Array {
  return off.map((_, i) => {
    let sum = 0;
    for (let k = i * count; k < (i + 1) * count; k++) sum += off[rows[k]];
    return sum / count;
  });
}

function squaresOf(off: Float64Array): number {
  let squares = 0;
  for (const z of off) squares += z * z;
  return squares;
}

function mustBelong(column: Float64Array, { count, rows }: NeighbourTable): number {
  const n = column.length;
  if (rows.length !== n * count)
    throw new RangeError(`${n} numbers have ${rows.length} neighbours, not ${count} each`);
  if (n < 4) throw new RangeError(`Moran's index needs four places or more, not ${n}`);
  return n;
}
