/** The same field in several seasons: found by its name or by its ground, and laid into one plane. */
import type { FieldPoints } from '../../result.ts';
import { type CellGrid, gridOver, MOST_CELLS } from '../../surface/cell-grid.ts';
import type { LocalFrame } from '../../track/local-frame.ts';

/** Side of the squares by which ground is compared: wider than any header, so that every pass leaves its mark. Ours. */
const SQUARE_M = 20;
/** Fields that share less of the smaller one are not the same. Ours. */
const LEAST_SHARED = 0.5;

/** How the field of a season was found. */
export interface FieldMatch {
  readonly points: FieldPoints;
  readonly by: 'name' | 'ground';
  /** Of the smaller field's ground, what both have. */
  readonly shared: number;
}

/** The points with east and north in another plane; everything else as it is. */
export function inFrame(points: FieldPoints, frame: LocalFrame): FieldPoints {
  return { ...points, ...frame.toPlane(points.longitude_deg, points.latitude_deg) };
}

/**
 * The field of another season that lies where `field` lies (both in one plane): the one of the same name if half of the smaller
 * ground is common, else the one that shares most and as much. `undefined` where there is none.
 */
export function sameField(field: FieldPoints, others: readonly FieldPoints[]): FieldMatch | undefined {
  const ground = squaresOf(field);
  const matches = others
    .map((points) => ({ points, shared: sharedPart(ground, squaresOf(points)) }))
    .filter(({ shared }) => shared >= LEAST_SHARED);
  const named = matches.find(({ points }) => plain(points.field) === plain(field.field));
  if (named !== undefined) return { ...named, by: 'name' };
  const best = matches.sort((a, b) => b.shared - a.shared)[0];
  return best === undefined ? undefined : { ...best, by: 'ground' };
}

function squaresOf({ east_m, north_m, pass }: FieldPoints): Set<string> {
  const squares = new Set<string>();
  for (let row = 0; row < east_m.length; row++) {
    if (pass[row] < 0 || !Number.isFinite(east_m[row] + north_m[row])) continue;
    squares.add(`${Math.floor(east_m[row] / SQUARE_M)} ${Math.floor(north_m[row] / SQUARE_M)}`);
  }
  return squares;
}

function sharedPart(a: ReadonlySet<string>, b: ReadonlySet<string>): number {
  let common = 0;
  for (const square of a) if (b.has(square)) common++;
  const least = Math.min(a.size, b.size);
  return least === 0 ? 0 : common / least;
}

/** The smallest grid of such cells that holds all places of all fields; undefined when it would have more than `MOST_CELLS`. */
export function commonGrid(fields: readonly FieldPoints[], cell_m: number): CellGrid | undefined {
  const ends = (of: (points: FieldPoints) => Float64Array) =>
    fields.flatMap((points) => {
      let [least, most] = [Infinity, -Infinity];
      for (const place of of(points)) {
        if (!Number.isFinite(place)) continue;
        least = Math.min(least, place);
        most = Math.max(most, place);
      }
      // cells near the points reach beyond them
      return [least - 10 * cell_m, most + 10 * cell_m];
    });
  const easts = ends(({ east_m }) => east_m);
  const norths = ends(({ north_m }) => north_m);
  const across = (ends_m: readonly number[]) => (Math.max(...ends_m) - Math.min(...ends_m)) / cell_m + 2;
  return across(easts) * across(norths) > MOST_CELLS ? undefined : gridOver(easts, norths, cell_m);
}

const plain = (name: string): string => name.trim().toLowerCase().replaceAll(/\s+/g, ' ');
