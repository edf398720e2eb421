/**
 * What the passes of a field say about where the antennas stand.
 *
 * Sideways: entered δ too far left, every swath is laid δ to the right of where it was cut. A neighbour on the right then comes
 * δ closer, one on the left goes δ further away, and the neighbour's own error does the same: of passes driven opposite ways,
 * overlap and gap come in turn.
 *
 * Ahead: entered φ too far back, every swath is laid φ ahead. Passes end φ later and begin φ later on their way, so that at one
 * end of the field where passes end and their neighbours begin, header moves lie 2φ apart. Compared is each with the middle of
 * its two neighbours, so that a slanting edge drops out.
 */
import { median } from '../stats/quantiles.ts';
import type { OffsetEvidence } from './antenna-fit.ts';
import type { GroundRows } from './ground-rows.ts';

/** One machine's rows in one field; `byHeader` when its passes begin and end with moves of the header. */
export interface MachineRows {
  readonly machine: number;
  readonly rows: GroundRows;
  readonly byHeader: boolean;
}

/** Neighbours run parallel to within this. */
const PARALLEL = Math.sin((8 * Math.PI) / 180);
/** Distances between neighbours in header widths: closer passes cover each other, others do not touch. */
const NEAREST = 0.5;
const FARTHEST = 1.4;
/** Every so far along a pass its neighbours are looked for, m. */
const STEP_M = 10;
/** A pair counts where it runs side by side at so many places. */
const FEWEST_PLACES = 4;
/** In fields with more places than this only every so many-th pass asks for its neighbours. */
const ASKING_PLACES = 20_000;
/** Ends of neighbouring passes that lie further apart along the way are not at one edge, m. */
const FARTHEST_ENDS_M = 12;

interface Place {
  readonly part: number;
  readonly pass: number;
  /** Where the pass begins (`start`), ends (`end`) or goes on. */
  readonly kind: 'start' | 'end' | 'along';
  readonly east_m: number;
  readonly north_m: number;
  readonly sin: number;
  readonly cos: number;
  readonly width_m: number;
}

interface Neighbour {
  readonly other: Place;
  readonly across_m: number;
  /** How much further along the place's way the other one is. */
  readonly along_m: number;
  readonly sameWay: boolean;
}

/** What the passes of one field say of both. */
export interface AntennaEvidence {
  readonly sideways: readonly OffsetEvidence[];
  readonly ahead: readonly OffsetEvidence[];
}

export function antennaEvidence(parts: readonly MachineRows[]): AntennaEvidence {
  return { sideways: sidewaysEvidence(parts), ahead: aheadEvidence(parts) };
}

/** One piece a pair of neighbouring passes: how much further apart they are than their headers are wide. */
function sidewaysEvidence(parts: readonly MachineRows[]): OffsetEvidence[] {
  const places = parts.flatMap(({ rows }, part) => placesAlong(rows, part));
  const index = new PlaceIndex(places, 0.75 * STEP_M);
  const pairs = new Map<number, { y_m: number[]; evidence: OffsetEvidence }>();
  const numberOf = passNumbers();
  const stride = Math.ceil(places.length / ASKING_PLACES);
  for (const place of places) {
    if (place.pass % stride !== 0) continue;
    for (const side of [-1, 1] as const) {
      const found = index.nearest(place, side);
      if (found === undefined || found.across_m < NEAREST * place.width_m) continue;
      const { other, sameWay } = found;
      const y_m = found.across_m - (place.width_m + other.width_m) / 2;
      const one = numberOf(place);
      const two = numberOf(other);
      // on which side they lie tells pairs apart that are driven opposite ways
      const way = sameWay ? 0 : side === 1 ? 1 : 2;
      const key = (Math.min(one, two) * MOST_PASSES + Math.max(one, two)) * 3 + way;
      const pair = pairs.get(key);
      if (pair !== undefined) pair.y_m.push(y_m);
      else {
        // the other has this one on the same side, unless it goes the same way
        const own = { machine: parts[place.part].machine, factor: -side };
        const its = { machine: parts[other.part].machine, factor: sameWay ? side : -side };
        pairs.set(key, { y_m: [y_m], evidence: { y_m: 0, parts: [own, its] } });
      }
    }
  }
  return [...pairs.values()]
    .filter(({ y_m }) => y_m.length >= FEWEST_PLACES)
    .map(({ y_m, evidence }) => ({ ...evidence, y_m: median(Float64Array.from(y_m)) }));
}

/** More than any field has; of two passes and a way one number is made. */
const MOST_PASSES = 2 ** 25;

/** Numbers for passes of several parts, from 0 as they are met. */
function passNumbers(): (place: Place) => number {
  const numbers: number[][] = [];
  let count = 0;
  return ({ part, pass }) => {
    numbers[part] ??= [];
    numbers[part][pass] ??= count++;
    return numbers[part][pass];
  };
}

/** One piece an end of a pass that has ends of other passes on both sides. */
function aheadEvidence(parts: readonly MachineRows[]): OffsetEvidence[] {
  const places = parts.flatMap(({ rows, byHeader }, part) => (byHeader ? endsOf(rows, part) : []));
  const index = new PlaceIndex(places, FARTHEST_ENDS_M);
  const evidence: OffsetEvidence[] = [];
  for (const place of places) {
    const left = index.nearest(place, -1);
    const right = index.nearest(place, 1);
    if (left === undefined || right === undefined) continue;
    const neighbours = [left, right].map(({ other, sameWay }) => ({
      machine: parts[other.part].machine,
      factor: sameWay ? -0.5 : 0.5,
    }));
    evidence.push({
      y_m: -(left.along_m + right.along_m) / 2,
      parts: [{ machine: parts[place.part].machine, factor: 1 }, ...neighbours],
    });
  }
  return evidence;
}

/** The middle of the header every `STEP_M` along each pass. */
function placesAlong(rows: GroundRows, part: number): Place[] {
  const places: Place[] = [];
  let way_m = 0;
  for (let i = 0; i < rows.t0_s.length; i++) {
    way_m += rows.distance_m[i];
    if (rows.pass[i] < 0 || rows.no_fix[i] === 1 || way_m < STEP_M) continue;
    way_m = 0;
    places.push(placeAt(rows, part, i, 'along'));
  }
  return places;
}

/** Where passes of some length begin and end. */
function endsOf(rows: GroundRows, part: number): Place[] {
  const places: Place[] = [];
  for (let from = 0, to = 0; from < rows.pass.length; from = to) {
    to = from + 1;
    let way_m = rows.distance_m[from];
    while (to < rows.pass.length && rows.pass[to] === rows.pass[from]) way_m += rows.distance_m[to++];
    if (rows.pass[from] < 0 || way_m < FEWEST_PLACES * STEP_M) continue;
    if (rows.no_fix[from] === 0) places.push(placeAt(rows, part, from, 'start'));
    if (rows.no_fix[to - 1] === 0) places.push(placeAt(rows, part, to - 1, 'end'));
  }
  return places;
}

function placeAt(rows: GroundRows, part: number, i: number, kind: Place['kind']): Place {
  const heading_rad = kind === 'start' ? rows.heading0_rad[i] : rows.heading1_rad[i];
  return {
    part,
    pass: rows.pass[i],
    kind,
    east_m: kind === 'start' ? rows.east0_m[i] : rows.east1_m[i],
    north_m: kind === 'start' ? rows.north0_m[i] : rows.north1_m[i],
    sin: Math.sin(heading_rad),
    cos: Math.cos(heading_rad),
    width_m: rows.header_width_m[i],
  };
}

/** Places by the cell that they lie in. */
class PlaceIndex {
  readonly #cells = new Map<number, Place[]>();
  readonly #reach_m: number;
  readonly #along_m: number;

  constructor(places: readonly Place[], along_m: number) {
    this.#along_m = along_m;
    this.#reach_m = places.reduce((most, { width_m }) => Math.max(most, FARTHEST * width_m), along_m);
    for (const place of places) {
      const key = this.#keyOf(place.east_m, place.north_m);
      const cell = this.#cells.get(key);
      if (cell === undefined) this.#cells.set(key, [place]);
      else cell.push(place);
    }
  }

  /** The nearest parallel pass on the left (−1) or right (1), at the same end where ends are compared. */
  nearest(place: Place, side: -1 | 1): Neighbour | undefined {
    let best: Neighbour | undefined;
    for (let de = -1; de <= 1; de++) {
      for (let dn = -1; dn <= 1; dn++) {
        const key = this.#keyOf(place.east_m + de * this.#reach_m, place.north_m + dn * this.#reach_m);
        for (const other of this.#cells.get(key) ?? []) {
          const found = this.#beside(place, other, side);
          if (found !== undefined && (best === undefined || found.across_m < best.across_m)) best = found;
        }
      }
    }
    return best;
  }

  #beside(place: Place, other: Place, side: -1 | 1): Neighbour | undefined {
    if (other.pass === place.pass && other.part === place.part) return undefined;
    const turn = other.sin * place.cos - other.cos * place.sin;
    if (Math.abs(turn) > PARALLEL) return undefined;
    const sameWay = other.sin * place.sin + other.cos * place.cos > 0;
    if (place.kind !== 'along' && sameWay !== (place.kind === other.kind)) return undefined;
    const east_m = other.east_m - place.east_m;
    const north_m = other.north_m - place.north_m;
    const along_m = east_m * place.sin + north_m * place.cos;
    if (Math.abs(along_m) > this.#along_m) return undefined;
    // carried along the other's way to the place's own cross-section
    const right_m = east_m * place.cos - north_m * place.sin - along_m * turn * (sameWay ? 1 : -1);
    const across_m = side * right_m;
    if (!(across_m > 0) || across_m > (FARTHEST * (place.width_m + other.width_m)) / 2) return undefined;
    return { other, across_m, along_m, sameWay };
  }

  /** Columns and rows stay within ±2^20. */
  #keyOf(east_m: number, north_m: number): number {
    const column = Math.floor(east_m / this.#reach_m) + 2 ** 20;
    return column * 2 ** 21 + Math.floor(north_m / this.#reach_m) + 2 ** 20;
  }
}
