/**
 * On which side of the header the crop was still standing. A point knows how wide it was (`cut_width_m`), not where: the rest of
 * the header ran over ground that was cut before, or outside the field, and that is looked for at both of its ends.
 */
import type { FieldPoints } from '../../result.ts';
import { ringsHold } from '../../track/plane-rings.ts';

/** Less than this is no side: it is within what positions are good for. */
const LEAST_SPARE_M = 0.2;
/** Rows of the same pass this close in time are the machine's own tail, not ground that was cut before. */
const OWN_TAIL_S = 20;
/** Sides of the squares that rows are sorted into: about a header. */
const SQUARE_M = 10;
/** A square that has been driven over often holds some dozens; in a log full of repeated rows the rest would say the same. */
const MOST_A_SQUARE = 200;

/** What the sides are found from. */
export interface SideGrounds {
  /** Header width by machine, as `points.machine` counts them; NaN where it is unknown. */
  readonly header_widths_m: readonly number[];
  /** Rings of the field in its plane; none where it has no boundary. */
  readonly outline: readonly Float64Array[];
}

/**
 * Per row, how far right of the header's middle the middle of the fresh strip is, m: half of what the strip is narrower than
 * the header where one end of the header ran over cut ground and the other did not, else 0. O(rows).
 */
export function freshOffsets_m(points: FieldPoints, { header_widths_m, outline }: SideGrounds): Float64Array {
  const ground = new CutGround(points, header_widths_m);
  const offsets_m = new Float64Array(points.t_s.length);
  for (let row = 0; row < offsets_m.length; row++) {
    const spare_m = header_widths_m[points.machine[row]] - points.cut_width_m[row];
    if (!(points.cut_width_m[row] > 0 && spare_m > LEAST_SPARE_M)) continue;
    const isTaken = (side: -1 | 1) => {
      // the middle of what is spare there, if all of it is
      const right_m = (side * points.cut_width_m[row]) / 2;
      const east_m = points.east_m[row] + right_m * Math.cos(points.heading_rad[row]);
      const north_m = points.north_m[row] - right_m * Math.sin(points.heading_rad[row]);
      return (
        ground.holds(east_m, north_m, row) || (outline.length > 0 && !ringsHold(outline, east_m, north_m))
      );
    };
    const [left, right] = [isTaken(-1), isTaken(1)];
    if (left !== right) offsets_m[row] = left ? spare_m / 2 : -spare_m / 2;
  }
  return offsets_m;
}

/** What lay under headers, sorted into squares by the middle of each row. Rows are in the order of time. */
class CutGround {
  readonly #points: FieldPoints;
  readonly #widths_m: readonly number[];
  readonly #rowsAt = new Map<string, number[]>();
  readonly #reach: number;

  constructor(points: FieldPoints, widths_m: readonly number[]) {
    this.#points = points;
    this.#widths_m = widths_m;
    const widest_m = widths_m.reduce((most, width) => Math.max(most, width || 0), 0);
    this.#reach = Math.ceil((widest_m / 2 + SQUARE_M / 2) / SQUARE_M);
    for (let row = 0; row < points.t_s.length; row++) {
      if (!(points.cut_width_m[row] > 0 && Number.isFinite(points.east_m[row] + points.north_m[row])))
        continue;
      const key = keyOf(squareOf(points.east_m[row]), squareOf(points.north_m[row]));
      const list = this.#rowsAt.get(key);
      if (list === undefined) this.#rowsAt.set(key, [row]);
      else if (list.length < MOST_A_SQUARE) list.push(row);
    }
  }

  /** Whether the place lay under a header before `row`. */
  holds(east_m: number, north_m: number, row: number): boolean {
    const [x, y] = [squareOf(east_m), squareOf(north_m)];
    for (let dx = -this.#reach; dx <= this.#reach; dx++)
      for (let dy = -this.#reach; dy <= this.#reach; dy++)
        for (const other of this.#rowsAt.get(keyOf(x + dx, y + dy)) ?? []) {
          if (other >= row) break;
          if (this.#covers(other, east_m, north_m) && !this.#isOwnTail(other, row)) return true;
        }
    return false;
  }

  #covers(row: number, east_m: number, north_m: number): boolean {
    const points = this.#points;
    const [sin, cos] = [Math.sin(points.heading_rad[row]), Math.cos(points.heading_rad[row])];
    const [east, north] = [east_m - points.east_m[row], north_m - points.north_m[row]];
    return (
      Math.abs(east * sin + north * cos) <= points.distance_m[row] / 2 &&
      Math.abs(east * cos - north * sin) <= this.#widths_m[points.machine[row]] / 2
    );
  }

  #isOwnTail(other: number, row: number): boolean {
    const { machine, pass, t_s } = this.#points;
    return machine[other] === machine[row] && pass[other] === pass[row] && t_s[row] - t_s[other] < OWN_TAIL_S;
  }
}

function squareOf(along_m: number): number {
  return Math.floor(along_m / SQUARE_M);
}

function keyOf(x: number, y: number): string {
  return `${x} ${y}`;
}
