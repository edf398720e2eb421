/** Polygons that lie across the 180° meridian, cut in two along it as RFC 7946 §3.1.9 asks; the rest stays as it is. */
import { ringsHold } from '../../track/plane-rings.ts';

/** Rings as `PolygonGeometry.rings` gives them: interleaved degrees, closed, outer ring first. */
export type PolygonRings = readonly Float64Array[];

/**
 * The polygons that `rings` make: none for no rings, itself for one that stays on its side, else its parts west and then
 * east of the meridian, turning the same way. A side longer than half the globe is taken for one across the meridian.
 */
export function polygonParts(rings: PolygonRings): readonly PolygonRings[] {
  if (rings.length === 0) return [];
  if (!rings.some(leaps)) return [rings];
  const [outer, ...holes] = rings.map(unrolled);
  const all = [outer, ...holes.map((hole) => beside(hole, outer[0]))];
  return [
    ...sidePolygons(all, (longitude_deg) => longitude_deg <= 180, 0),
    ...sidePolygons(all, (longitude_deg) => longitude_deg > 180, -360),
  ];
}

/**
 * West, south, east and north of positions; west > east where they lie across the 180° meridian (RFC 7946 §5.2), which is
 * taken to be so where the box is narrower that way. `undefined` when there are none. NaN positions do not count.
 */
export class GeographicBox {
  #south = Number.POSITIVE_INFINITY;
  #north = Number.NEGATIVE_INFINITY;
  readonly #plain = { west: Number.POSITIVE_INFINITY, east: Number.NEGATIVE_INFINITY };
  readonly #shifted = { west: Number.POSITIVE_INFINITY, east: Number.NEGATIVE_INFINITY };

  add(longitude_deg: number, latitude_deg: number): void {
    if (!Number.isFinite(longitude_deg) || !Number.isFinite(latitude_deg)) return;
    this.#south = Math.min(this.#south, latitude_deg);
    this.#north = Math.max(this.#north, latitude_deg);
    widen(this.#plain, longitude_deg);
    widen(this.#shifted, longitude_deg < 0 ? longitude_deg + 360 : longitude_deg);
  }

  get bounds(): readonly [west: number, south: number, east: number, north: number] | undefined {
    if (this.#south > this.#north) return undefined;
    const [plain, shifted] = [this.#plain, this.#shifted];
    if (plain.east - plain.west <= shifted.east - shifted.west)
      return [plain.west, this.#south, plain.east, this.#north];
    return [signed(shifted.west), this.#south, signed(shifted.east), this.#north];
  }
}

function widen(span: { west: number; east: number }, longitude_deg: number): void {
  span.west = Math.min(span.west, longitude_deg);
  span.east = Math.max(span.east, longitude_deg);
}

function signed(longitude_deg: number): number {
  return longitude_deg > 180 ? longitude_deg - 360 : longitude_deg;
}

function leaps(ring: Float64Array): boolean {
  for (let at = 2; at < ring.length; at += 2) if (Math.abs(ring[at] - ring[at - 2]) > 180) return true;
  return false;
}

/** Longitudes run on: 0 … 360 in the place of −180 … 180. */
function unrolled(ring: Float64Array): Float64Array {
  return ring.map((angle_deg, at) => (at % 2 === 0 && angle_deg < 0 ? angle_deg + 360 : angle_deg));
}

/** A hole that does not cross the meridian itself lies on the side of the outer ring where it was. */
function beside(hole: Float64Array, longitude_deg: number): Float64Array {
  const turns = Math.round((longitude_deg - hole[0]) / 360) * 360;
  return turns === 0 ? hole : hole.map((angle_deg, at) => (at % 2 === 0 ? angle_deg + turns : angle_deg));
}

/** A run of a ring on one side, from the place where it comes across the meridian to where it leaves. */
interface Run {
  readonly positions: number[];
  readonly enters_deg: number;
  readonly leaves_deg: number;
}

function sidePolygons(
  rings: PolygonRings,
  isInside: (longitude_deg: number) => boolean,
  shift_deg: number,
): PolygonRings[] {
  const whole: Float64Array[] = [];
  const runs: Run[] = [];
  for (const ring of rings) {
    const found = runsOf(ring, isInside);
    if (found.length > 0) runs.push(...found);
    else if (isInside(ring[0])) whole.push(ring);
  }
  const outers = joined(runs).filter((ring) => ring.length >= 8 && doubleArea(ring) !== 0);
  const holes = doubleArea(whole[0] ?? new Float64Array()) > 0 ? whole.slice(1) : whole;
  if (holes.length < whole.length) outers.unshift(whole[0]);
  const shifted = (ring: Float64Array) =>
    ring.map((angle_deg, at) => (at % 2 === 0 ? angle_deg + shift_deg : angle_deg));
  return outers.map((outer) =>
    [outer, ...holes.filter((hole) => ringsHold([outer], hole[0], hole[1]))].map(shifted),
  );
}

function runsOf(ring: Float64Array, isInside: (longitude_deg: number) => boolean): Run[] {
  const corners = ring.length / 2 - 1;
  const start = Array.from({ length: corners }, (_, k) => k).find(
    (k) => !isInside(ring[2 * k]) && isInside(ring[2 * k + 2]),
  );
  if (start === undefined) return [];
  const runs: Run[] = [];
  let positions: number[] = [];
  let enters_deg = 0;
  for (let step = 0; step < corners; step++) {
    const from = 2 * ((start + step) % corners);
    const isFromInside = isInside(ring[from]);
    const isToInside = isInside(ring[from + 2]);
    if (isFromInside !== isToInside) {
      const latitude_deg = crossing(ring, from);
      if (isToInside) {
        enters_deg = latitude_deg;
        positions = [180, latitude_deg];
      } else {
        runs.push({ positions: [...positions, 180, latitude_deg], enters_deg, leaves_deg: latitude_deg });
      }
    }
    if (isToInside) positions.push(ring[from + 2], ring[from + 3]);
  }
  return runs;
}

function crossing(ring: Float64Array, from: number): number {
  const share = (180 - ring[from]) / (ring[from + 2] - ring[from]);
  return ring[from + 1] + share * (ring[from + 3] - ring[from + 1]);
}

/** Along the meridian, the ground between the first and the second crossing is inside, between the third and the fourth … */
function joined(runs: readonly Run[]): Float64Array[] {
  const ends = runs.flatMap((run) => [
    { run, at_deg: run.enters_deg, isEntry: true },
    { run, at_deg: run.leaves_deg, isEntry: false },
  ]);
  ends.sort((a, b) => a.at_deg - b.at_deg);
  const next = new Map<Run, Run>();
  for (let k = 0; k + 1 < ends.length; k += 2) {
    const [a, b] = ends[k].isEntry ? [ends[k + 1], ends[k]] : [ends[k], ends[k + 1]];
    next.set(a.run, b.run);
  }
  const rings: Float64Array[] = [];
  const left = new Set(runs);
  for (const first of runs) {
    if (!left.has(first)) continue;
    const positions: number[] = [];
    for (let run: Run | undefined = first; run !== undefined && left.delete(run); run = next.get(run))
      for (const position of run.positions) positions.push(position);
    positions.push(positions[0], positions[1]);
    rings.push(Float64Array.from(withoutRepeats(positions)));
  }
  return rings;
}

function withoutRepeats(positions: readonly number[]): number[] {
  return positions.filter((_, at) => {
    const corner = at - (at % 2);
    return (
      corner === 0 ||
      positions[corner] !== positions[corner - 2] ||
      positions[corner + 1] !== positions[corner - 1]
    );
  });
}

/** Twice the signed area of a closed ring in square degrees, about its first corner: positive counter-clockwise. */
export function doubleArea(ring: Float64Array): number {
  let sum = 0;
  for (let at = 2; at + 3 < ring.length; at += 2) {
    sum +=
      (ring[at] - ring[0]) * (ring[at + 3] - ring[1]) - (ring[at + 2] - ring[0]) * (ring[at + 1] - ring[1]);
  }
  return sum;
}
