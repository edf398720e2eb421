import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CellGrid } from '../../../core/surface/cell-grid.ts';
import { planeArea_m2, type ZoneMap, zoneArea_m2, zonesOf } from '../../../core/surface/zones.ts';
import { localFrame } from '../../../core/track/local-frame.ts';

/** Drawn from the north, digits for classes and dots for nothing. */
function drawn(...lines: readonly string[]): { grid: CellGrid; classes: Int32Array } {
  const rows = lines.toReversed();
  const grid = { west_m: 100, south_m: -50, cell_m: 10, columns: rows[0].length, rows: rows.length };
  const classes = Int32Array.from([...rows.join('')], (sign) => (sign === '.' ? -1 : Number(sign)));
  return { grid, classes };
}

/** Whether a place is in a zone, by the even-odd rule over all its rings. */
function holds(rings: readonly Float64Array[], east_m: number, north_m: number): boolean {
  let isInside = false;
  for (const ring of rings) {
    const n = ring.length / 2;
    for (let a = n - 1, b = 0; b < n; a = b++) {
      const [ax, ay, bx, by] = [ring[2 * a], ring[2 * a + 1], ring[2 * b], ring[2 * b + 1]];
      if (ay > north_m === by > north_m) continue;
      if (east_m < ax + ((north_m - ay) * (bx - ax)) / (by - ay)) isInside = !isInside;
    }
  }
  return isInside;
}

type Segment = readonly [number, number, number, number];

function segmentsOf({ zones }: ZoneMap): Segment[] {
  return zones.flatMap(({ rings }) =>
    rings.flatMap((ring) =>
      Array.from({ length: ring.length / 2 }, (_, a): Segment => {
        const b = (a + 1) % (ring.length / 2);
        return [ring[2 * a], ring[2 * a + 1], ring[2 * b], ring[2 * b + 1]];
      }),
    ),
  );
}

/** Whether two segments cross within both. */
function cross([ax, ay, bx, by]: Segment, [cx, cy, dx, dy]: Segment): boolean {
  const side = (px: number, py: number, qx: number, qy: number, rx: number, ry: number) =>
    (qx - px) * (ry - py) - (qy - py) * (rx - px);
  const [c, d] = [side(ax, ay, bx, by, cx, cy), side(ax, ay, bx, by, dx, dy)];
  const [a, b] = [side(cx, cy, dx, dy, ax, ay), side(cx, cy, dx, dy, bx, by)];
  const slack = 1e-9;
  return Math.min(Math.abs(a), Math.abs(b), Math.abs(c), Math.abs(d)) > slack && c * d < 0 && a * b < 0;
}

describe('zones', () => {
  it('are the drawn patches, with their holes', () => {
    const { grid, classes } = drawn('00000', '01110', '01.10', '01110', '00000');
    const { zones } = zonesOf(grid, classes, { least_area_m2: 0, tolerance_m: 0 });
    expect(zones.map((zone) => [zone.class, zone.cells, zone.rings.length, zone.area_m2])).toEqual([
      [0, 16, 2, 1600],
      [1, 8, 2, 800],
    ]);
    expect(zones[0].rings.map(planeArea_m2)).toEqual([2500, -900]);
    expect([...zones[1].rings[1]]).toHaveLength(8);
  });

  it('give small patches to the neighbour with the longest border', () => {
    const { grid, classes } = drawn('00022', '00322', '00022', '11111');
    const { zones, merged } = zonesOf(grid, classes, { least_area_m2: 300, tolerance_m: 0 });
    // the single 3 has one side towards 0 to the west, two to 0 north and south, one towards 2
    expect(merged).toBe(1);
    expect(zones.map((zone) => [zone.class, zone.cells])).toEqual([
      [1, 5],
      [0, 9],
      [2, 6],
    ]);
  });

  it('join what a small patch had parted', () => {
    const { grid, classes } = drawn('00100', '00100', '22222');
    const { zones } = zonesOf(grid, classes, { least_area_m2: 300, tolerance_m: 0 });
    expect(zones.map((zone) => [zone.class, zone.cells])).toEqual([
      [2, 5],
      [0, 10],
    ]);
  });

  it('let a hole touch the outer ring at a corner, but no ring itself', () => {
    const { grid, classes } = drawn('1000', '0100', '0000');
    const { zones } = zonesOf(grid, classes, { least_area_m2: 0 });
    const outer = zones.find((zone) => zone.class === 0);
    expect(outer?.rings).toHaveLength(2);
    for (const ring of outer?.rings ?? []) {
      const corners = Array.from({ length: ring.length / 2 }, (_, k) => `${ring[2 * k]} ${ring[2 * k + 1]}`);
      expect(new Set(corners).size).toBe(corners.length);
    }
  });

  it('turn stairs into slopes, within the tolerance', () => {
    const { grid, classes } = drawn(
      '0000000',
      '1000000',
      '1100000',
      '1110000',
      '1111000',
      '1111100',
      '1111110',
    );
    const corners = (tolerance_m: number) =>
      zonesOf(grid, classes, { least_area_m2: 0, tolerance_m }).zones[0].rings[0];
    const [stairs, slopes] = [corners(0), corners(3.5)];
    const length = (ring: Float64Array) => {
      let sum = 0;
      for (let k = 0; k < ring.length; k += 2)
        sum += Math.hypot(ring[k] - ring[(k + 2) % ring.length], ring[k + 1] - ring[(k + 3) % ring.length]);
      return sum;
    };
    expect(length(stairs)).toBe(240);
    expect(length(slopes)).toBeLessThan(0.88 * 240);
    expect(zonesOf(grid, classes, { tolerance_m: 50 }).tolerance_m).toBe(3.5);
  });

  it('cover every cell once: same area, no crossing lines, every cell in its own zone', () => {
    const size = 9;
    const cells = fc.array(fc.integer({ min: -1, max: 3 }), {
      minLength: size * size,
      maxLength: size * size,
    });
    fc.assert(
      fc.property(cells, fc.integer({ min: 0, max: 600 }), (classes, least_area_m2) => {
        const grid = { west_m: 0, south_m: 0, cell_m: 10, columns: size, rows: size };
        const map = zonesOf(grid, Int32Array.from(classes), { least_area_m2 });
        const covered = classes.filter((found) => found >= 0).length;
        expect(map.zones.reduce((sum, zone) => sum + zone.area_m2, 0)).toBeCloseTo(100 * covered, 6);
        expect(map.zones.reduce((sum, zone) => sum + zone.cells, 0)).toBe(covered);
        classes.forEach((found, cell) => {
          const place = [10 * (cell % size) + 5, 10 * Math.floor(cell / size) + 5] as const;
          const inside = [...map.zones.keys()].filter((zone) => holds(map.zones[zone].rings, ...place));
          expect(inside).toEqual(found < 0 ? [] : [map.zoneOf[cell]]);
        });
        const segments = segmentsOf(map);
        let crossings = 0;
        for (let a = 0; a < segments.length; a++)
          for (let b = 0; b < a; b++) if (cross(segments[a], segments[b])) crossings++;
        expect(crossings).toBe(0);
        for (const zone of map.zones) {
          expect(planeArea_m2(zone.rings[0])).toBeGreaterThan(0);
          for (const hole of zone.rings.slice(1)) expect(planeArea_m2(hole)).toBeLessThan(0);
        }
      }),
      { seed: 11, numRuns: 25 },
    );
  });

  it('have their areas on the ellipsoid', () => {
    const { grid, classes } = drawn('000', '0.0', '000');
    const { zones } = zonesOf(grid, classes, { least_area_m2: 0 });
    const area_m2 = zoneArea_m2(zones[0], localFrame(-93.75, 41.57));
    expect(Math.abs(area_m2 / 800 - 1)).toBeLessThan(1e-6);
  });

  it('need a class for every cell', () => {
    const { grid } = drawn('00');
    expect(() => zonesOf(grid, new Int32Array(3))).toThrow('2 cells have 3 classes');
  });
});
