/** The nearest of many places in a plane, by a k-d tree [Bentley1975; FriedmanBentleyFinkel1977]. */
import KDBush from 'kdbush';

/** Places in a leaf of the tree; fewer than the library's own choice, for searches here want a few dozen. */
const LEAF_PLACES = 16;
const DIRECTIONS = 8;

/** Which places a search may answer with. */
export interface SearchLimits {
  /** At most as many. */
  readonly most: number;
  /** No further away than this; any distance when absent. */
  readonly within_m?: number;
  /** At most as many from each of eight equal sectors, the first from north to north-east; needs `within_m`. */
  readonly most_an_octant?: number;
}

/**
 * An index of places; those without a position (NaN) are in no one's neighbourhood. Built in O(n log n); a search costs
 * O(log n + k) on average. Places at one distance are taken in the order of their rows, so that answers are repeatable.
 * One search at a time: `rows` and `squared_m2` hold the answer of the last one.
 */
export class NearestPlaces {
  /** Rows of the last answer, nearest first. */
  rows = new Int32Array(64);
  /** As `rows`: squares of the distances. */
  squared_m2 = new Float64Array(64);
  readonly #tree: KDBush;
  readonly #coords: Float64Array;
  readonly #ids: Int32Array;
  readonly #groups: Int32Array | undefined;
  readonly #octants = Array.from({ length: DIRECTIONS }, () => new Nearest());
  readonly #all = new Nearest();
  #east_m = 0;
  #north_m = 0;
  #except = -1;
  #reach_m2 = Number.POSITIVE_INFINITY;
  #byOctant = false;

  /**
   * `groups` says which places belong together, for searches that leave a group out; each place is one of its own when
   * absent. Throws RangeError when the columns differ in length.
   */
  constructor(east_m: Float64Array, north_m: Float64Array, groups?: Int32Array) {
    const n = east_m.length;
    if (north_m.length !== n)
      throw new RangeError(`places have ${n} eastings but ${north_m.length} northings`);
    const placed = placedRows(east_m, north_m);
    this.#tree = new KDBush(placed.length, LEAF_PLACES);
    for (const row of placed) this.#tree.add(east_m[row], north_m[row]);
    this.#tree.finish();
    this.#coords = Float64Array.from(this.#tree.coords);
    this.#ids = Int32Array.from(this.#tree.ids, (id) => placed[id]);
    this.#groups = groups;
  }

  /**
   * Finds the places nearest to one and answers how many there are, `rows` and `squared_m2` holding them. Places of the
   * group `except` (the row itself where there are no groups) are left out. Throws RangeError for limits that are none.
   */
  nearest(east_m: number, north_m: number, limits: SearchLimits, except = -1): number {
    const { most, within_m = Number.POSITIVE_INFINITY, most_an_octant } = limits;
    if (!(most >= 1)) throw new RangeError(`a search needs room for one place or more, not ${most}`);
    if (most_an_octant !== undefined && !(within_m < Number.POSITIVE_INFINITY))
      throw new RangeError('a search by octants needs a distance to end at');
    this.#east_m = east_m;
    this.#north_m = north_m;
    this.#except = except;
    this.#reach_m2 = within_m ** 2;
    this.#byOctant = most_an_octant !== undefined;
    const room = Math.min(most, this.#ids.length);
    this.#all.clear(room);
    if (most_an_octant !== undefined) for (const octant of this.#octants) octant.clear(most_an_octant);
    if (room > 0) this.#search(0, this.#ids.length - 1, 0, 0, 0);
    if (this.#byOctant) for (const octant of this.#octants) octant.pourInto(this.#all);
    return this.#answer();
  }

  /** Calls `visit` with the row of every place no further than `within_m`, in no order that means anything. */
  visitWithin(east_m: number, north_m: number, within_m: number, visit: (row: number) => void): void {
    // the library answers with the places in the order in which they were added
    for (const added of this.#tree.within(east_m, north_m, within_m)) visit(this.#added(added));
  }

  #addedRows: Int32Array | undefined;

  /** Row of the place that was added as the `added`th. */
  #added(added: number): number {
    if (this.#addedRows === undefined) {
      this.#addedRows = new Int32Array(this.#ids.length);
      for (let k = 0; k < this.#ids.length; k++) this.#addedRows[this.#tree.ids[k]] = this.#ids[k];
    }
    return this.#addedRows[added];
  }

  /** The part of the tree from `left` to `right`, whose box is `away_m` off along each axis. */
  #search(left: number, right: number, axis: 0 | 1, awayEast_m: number, awayNorth_m: number): void {
    if (right - left <= LEAF_PLACES) {
      for (let k = left; k <= right; k++) this.#offer(k);
      return;
    }
    const middle = (left + right) >> 1;
    const off_m = (axis === 0 ? this.#east_m : this.#north_m) - this.#coords[2 * middle + axis];
    const other = axis === 0 ? 1 : 0;
    if (off_m < 0) this.#search(left, middle - 1, other, awayEast_m, awayNorth_m);
    else this.#search(middle + 1, right, other, awayEast_m, awayNorth_m);
    this.#offer(middle);
    const east_m = axis === 0 ? off_m : awayEast_m;
    const north_m = axis === 1 ? off_m : awayNorth_m;
    if (east_m * east_m + north_m * north_m > this.#bound()) return;
    if (off_m < 0) this.#search(middle + 1, right, other, east_m, north_m);
    else this.#search(left, middle - 1, other, east_m, north_m);
  }

  #offer(k: number): void {
    const dx = this.#coords[2 * k] - this.#east_m;
    const dy = this.#coords[2 * k + 1] - this.#north_m;
    const squared_m2 = dx * dx + dy * dy;
    if (squared_m2 > this.#reach_m2) return;
    const row = this.#ids[k];
    if ((this.#groups === undefined ? row : this.#groups[row]) === this.#except) return;
    const into = this.#byOctant ? this.#octants[octantOf(dx, dy)] : this.#all;
    into.offer(squared_m2, row);
  }

  /** Square of the distance beyond which no place can be of use any more. */
  #bound(): number {
    if (!this.#byOctant) return Math.min(this.#reach_m2, this.#all.bound());
    let bound_m2 = 0;
    for (const octant of this.#octants) bound_m2 = Math.max(bound_m2, octant.bound());
    return Math.min(this.#reach_m2, bound_m2);
  }

  #answer(): number {
    const { count, rows, squared_m2 } = this.#all;
    this.rows = rows;
    this.squared_m2 = squared_m2;
    return count;
  }
}

/** The few nearest so far, in order. */
class Nearest {
  count = 0;
  rows = new Int32Array(64);
  squared_m2 = new Float64Array(64);
  #room = 0;

  clear(room: number): void {
    this.count = 0;
    this.#room = room;
    if (room <= this.rows.length) return;
    this.rows = new Int32Array(room);
    this.squared_m2 = new Float64Array(room);
  }

  bound(): number {
    return this.count < this.#room ? Number.POSITIVE_INFINITY : this.squared_m2[this.count - 1];
  }

  offer(squared_m2: number, row: number): void {
    let at = this.count;
    if (at === this.#room) {
      if (!isNearer(squared_m2, row, this.squared_m2[at - 1], this.rows[at - 1])) return;
      at--;
    } else this.count++;
    while (at > 0 && isNearer(squared_m2, row, this.squared_m2[at - 1], this.rows[at - 1])) {
      this.squared_m2[at] = this.squared_m2[at - 1];
      this.rows[at] = this.rows[at - 1];
      at--;
    }
    this.squared_m2[at] = squared_m2;
    this.rows[at] = row;
  }

  pourInto(all: Nearest): void {
    for (let k = 0; k < this.count; k++) all.offer(this.squared_m2[k], this.rows[k]);
  }
}

function isNearer(squared_m2: number, row: number, than_m2: number, thanRow: number): boolean {
  return squared_m2 < than_m2 || (squared_m2 === than_m2 && row < thanRow);
}

/** 0 from north to north-east, and on clockwise. */
function octantOf(dx: number, dy: number): number {
  if (dx >= 0) {
    if (dy > 0) return dx < dy ? 0 : 1;
    return dx > -dy ? 2 : 3;
  }
  if (dy < 0) return -dx < -dy ? 4 : 5;
  return -dx > dy ? 6 : 7;
}

function placedRows(east_m: Float64Array, north_m: Float64Array): Int32Array {
  const rows = new Int32Array(east_m.length);
  let count = 0;
  for (let i = 0; i < rows.length; i++)
    if (Number.isFinite(east_m[i]) && Number.isFinite(north_m[i])) rows[count++] = i;
  return rows.subarray(0, count);
}
