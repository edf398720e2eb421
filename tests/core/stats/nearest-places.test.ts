import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { NearestPlaces, type SearchLimits } from '../../../core/stats/nearest-places.ts';

const coordinate = fc.integer({ min: -30, max: 30 });
const places = fc.array(fc.tuple(coordinate, coordinate), { minLength: 1, maxLength: 150 });

function indexed(found: readonly (readonly [number, number])[], groups?: Int32Array): NearestPlaces {
  const column = (axis: 0 | 1) => Float64Array.from(found, (place) => place[axis]);
  return new NearestPlaces(column(0), column(1), groups);
}

function answer(index: NearestPlaces, at: readonly [number, number], limits: SearchLimits, except?: number) {
  const count = index.nearest(at[0], at[1], limits, except);
  return [...index.rows.subarray(0, count)];
}

/** Rows by distance, then by number. */
function byDistance(found: readonly (readonly [number, number])[], at: readonly [number, number]) {
  const squared = found.map(([x, y]) => (x - at[0]) ** 2 + (y - at[1]) ** 2);
  const rows = [...found.keys()].sort((a, b) => squared[a] - squared[b] || a - b);
  return { rows, squared };
}

describe('the nearest of many places', () => {
  it('are those that a look at all of them finds', () => {
    fc.assert(
      fc.property(
        places,
        fc.tuple(coordinate, coordinate),
        fc.integer({ min: 1, max: 40 }),
        (found, at, most) => {
          const { rows, squared } = byDistance(found, at);
          const index = indexed(found);
          expect(answer(index, at, { most })).toEqual(rows.slice(0, most));
          const within = rows.filter((row) => squared[row] <= 81);
          expect(answer(index, at, { most, within_m: 9 })).toEqual(within.slice(0, most));
          const others = rows.filter((row) => row !== rows[0]);
          expect(answer(index, at, { most }, rows[0])).toEqual(others.slice(0, most));
          const visited: number[] = [];
          index.visitWithin(at[0], at[1], 9, (row) => visited.push(row));
          expect(visited.sort((a, b) => a - b)).toEqual(within.toSorted((a, b) => a - b));
        },
      ),
      { seed: 5, numRuns: 100 },
    );
  });

  it('are taken from every octant', () => {
    fc.assert(
      fc.property(
        places,
        fc.tuple(coordinate, coordinate),
        fc.integer({ min: 1, max: 3 }),
        (found, corner, each) => {
          // beside the lines between octants
          const at = [corner[0] + 0.31, corner[1] + 0.17] as const;
          const { rows, squared } = byDistance(found, at);
          // an eighth of a turn each, clockwise from north
          const octant = (row: number) => {
            const turn = Math.atan2(found[row][0] - at[0], found[row][1] - at[1]) / (Math.PI / 4);
            return Math.floor(turn < 0 ? turn + 8 : turn);
          };
          const counts = new Map<number, number>();
          const wanted = rows.filter((row) => {
            const taken = counts.get(octant(row)) ?? 0;
            if (squared[row] > 400 || taken === each) return false;
            counts.set(octant(row), taken + 1);
            return true;
          });
          const limits = { most: 100, within_m: 20, most_an_octant: each };
          expect(answer(indexed(found), at, limits)).toEqual(wanted);
        },
      ),
      { seed: 6, numRuns: 300 },
    );
  });

  it('leave out a group, and places without a position', () => {
    const groups = Int32Array.of(7, 7, 8, 8);
    const index = indexed(
      [
        [0, 0],
        [1, 0],
        [2, 0],
        [Number.NaN, 0],
      ],
      groups,
    );
    expect(answer(index, [0, 0], { most: 5 }, 7)).toEqual([2]);
    expect(answer(index, [0, 0], { most: 5 })).toEqual([0, 1, 2]);
    expect(answer(indexed([]), [0, 0], { most: 5 })).toEqual([]);
  });

  it('are not sought within limits that are none', () => {
    const index = indexed([[0, 0]]);
    expect(() => index.nearest(0, 0, { most: 0 })).toThrow('room for one place');
    expect(() => index.nearest(0, 0, { most: 1, most_an_octant: 1 })).toThrow('a distance to end at');
    expect(() => new NearestPlaces(new Float64Array(2), new Float64Array(1))).toThrow('2 eastings but 1');
  });
});
