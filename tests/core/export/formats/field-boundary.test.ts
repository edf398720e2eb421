import { describe, expect, it } from 'vitest';
import {
  boundaryArea_m2,
  boundaryElements,
} from '../../../../core/export/formats/task-data/field-boundary.ts';
import { elementsNamed, readXml } from './xml-reading.ts';

/** A closed square from its south-west corner, degrees; clockwise. */
function square(west: number, south: number, side: number): Float64Array {
  const wrapped = (longitude: number) => (longitude > 180 ? longitude - 360 : longitude);
  const [w, e] = [wrapped(west), wrapped(west + side)];
  return Float64Array.from([w, south, w, south + side, e, south + side, e, south, w, south]);
}

/** Types of the line strings of each polygon: 1 exterior, 2 interior. */
function typesOf(rings: readonly Float64Array[]): string[] {
  return boundaryElements(rings).map((xml) =>
    elementsNamed(readXml(xml).root, 'LSG')
      .map(({ attributes }) => attributes.A)
      .join(''),
  );
}

describe('boundaries of fields in task data', () => {
  it('every exterior has its own holes, whatever the order and turn of the rings; an island in a hole is ground again', () => {
    const rings = [
      square(10.2, 0.2, 0.6),
      square(10, 0, 1),
      square(12, 0, 1),
      square(10.4, 0.4, 0.2),
      square(12.5, 0.5, 0.1),
    ];
    expect(typesOf(rings)).toEqual(['12', '12', '1']);
    // squares near the equator: a degree squared is 110,574 m by 111,320 m [from memory, WGS84], less by cos φ to the north
    const degree_m2 = 110_574 * 111_320;
    const area_m2 = degree_m2 * (1 - 0.36 + 0.04 + 1 - 0.01);
    expect(Math.abs(boundaryArea_m2(rings) / area_m2 - 1)).toBeLessThan(2e-4);
  });

  it('ground across the 180° meridian is two polygons of the same area', () => {
    const across = [square(179.995, -16.5, 0.01), square(179.999, -16.497, 0.002)];
    const elsewhere = [square(20, -16.5, 0.01), square(20.004, -16.497, 0.002)];
    expect(typesOf(across)).toEqual(['1', '1']);
    expect(typesOf(elsewhere)).toEqual(['12']);
    expect(Math.abs(boundaryArea_m2(across) - boundaryArea_m2(elsewhere))).toBeLessThanOrEqual(1);
    const easts = boundaryElements(across).flatMap((xml) =>
      elementsNamed(readXml(xml).root, 'PNT').map(({ attributes }) => Number(attributes.D)),
    );
    expect(easts.filter((east) => Math.abs(east) < 179.99 || Math.abs(east) > 180)).toEqual([]);
  });

  it('no boundary is no polygon and no area', () => {
    expect([boundaryElements([]), boundaryArea_m2([])]).toEqual([[], 0]);
  });
});
