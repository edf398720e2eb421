import { describe, expect, it } from 'vitest';
import type { BoundaryPolygons } from '../../../core/read/boundaries.ts';
import { fieldOfFixes, isInside, outlineOf } from '../../../core/track/field-visits.ts';
import type { TimedFixes } from '../../../core/track/track.ts';

const NAN = Number.NaN;

/** Square from `west` to `west + 1`, latitudes 0 to 1, with a hole in its middle when asked. */
function square(west: number, hole = false): BoundaryPolygons {
  const ring = (w: number, s: number, side: number) =>
    Float64Array.of(w, s, w + side, s, w + side, s + side, w, s + side, w, s);
  const rings = [ring(west, 0, 1), ...(hole ? [ring(west + 0.4, 0.4, 0.2)] : [])];
  return { source: 'a.geojson', polygons: [rings] } as unknown as BoundaryPolygons;
}

/** A fix every ten seconds at the given longitudes, latitude one half. */
function fieldsAt(
  longitudes: readonly number[],
  boundaries: readonly (BoundaryPolygons | undefined)[],
  hints?: readonly number[],
) {
  const fixes = {
    t_s: Float64Array.from(longitudes, (_, i) => 10 * i),
    longitude_deg: Float64Array.from(longitudes),
    latitude_deg: Float64Array.from(longitudes, () => 0.5),
  } as unknown as TimedFixes;
  const outlines = boundaries.map((boundary) => (boundary === undefined ? undefined : outlineOf(boundary)));
  return [...fieldOfFixes(fixes, outlines, Int32Array.from(hints ?? longitudes.map(() => -1)))];
}
const times = <T>(count: number, x: T): T[] => new Array(count).fill(x);

describe('inside a boundary', () => {
  it('across 180° too, as one ring or as the two halves of RFC 7946 §3.1.9', () => {
    const ring = (...corners: number[]) => Float64Array.from(corners);
    const one = [[ring(179.5, 0, -179.5, 0, -179.5, 1, 179.5, 1, 179.5, 0)]];
    const two = [
      [ring(179.5, 0, 180, 0, 180, 1, 179.5, 1, 179.5, 0)],
      [ring(-180, 0, -179.5, 0, -179.5, 1, -180, 1, -180, 0)],
    ];
    for (const polygons of [one, two]) {
      const outline = outlineOf({ source: 'a.geojson', polygons });
      expect([outline.west, outline.east]).toEqual([179.5, 180.5]);
      expect([179.7, -179.7, 179.3, -179.3, 0].map((lon) => isInside(outline, lon, 0.5))).toEqual([
        true,
        true,
        false,
        false,
        false,
      ]);
    }
  });

  it('holes are outside, and so is all beyond the bounds', () => {
    const outline = outlineOf(square(10, true));
    expect(isInside(outline, 10.1, 0.5)).toBe(true);
    expect(isInside(outline, 10.5, 0.5)).toBe(false);
    expect(isInside(outline, 9.9, 0.5)).toBe(false);
    expect(isInside(outline, 10.5, 1.5)).toBe(false);
    expect(isInside(outline, NAN, 0.5)).toBe(false);
    expect(isInside(outlineOf({ source: '', polygons: [] } as unknown as BoundaryPolygons), 0, 0)).toBe(
      false,
    );
  });
});

describe('field of every fix', () => {
  it('is the one that it lies in; between fields the one before, at the start the one after', () => {
    const found = fieldsAt([5, ...times(6, 10.5), 5, 5, ...times(6, 20.5), 5], [square(10), square(20)]);
    expect(found).toEqual([0, ...times(8, 0), ...times(7, 1)]);
  });

  it('is not left for a turn across the border', () => {
    expect(
      fieldsAt([...times(6, 10.5), 11.5, 11.5, 11.5, ...times(6, 10.5)], [square(10), square(11)]),
    ).toEqual(times(15, 0));
    const stay = fieldsAt(
      [...times(6, 10.5), ...times(4, 11.5), ...times(6, 10.5)],
      [square(10), square(11)],
    );
    expect(stay).toEqual([...times(6, 0), ...times(4, 1), ...times(6, 0)]);
  });

  it('keeps a short visit that does not go back', () => {
    const three = [square(10), square(11), square(12)];
    expect(fieldsAt([...times(6, 10.5), 11.5, 11.5, ...times(6, 12.5)], three)).toEqual([
      ...times(6, 0),
      1,
      1,
      ...times(6, 2),
    ]);
  });

  it('stays what it is where boundaries overlap', () => {
    expect(fieldsAt([11.1, 10.9, 10.9], [square(10), square(10.5)])).toEqual([1, 1, 1]);
  });

  it('goes with the neighbours where there is no position', () => {
    expect(fieldsAt([NAN, ...times(6, 10.5), NAN, ...times(6, 20.5)], [square(10), square(20)])).toEqual([
      ...times(8, 0),
      ...times(6, 1),
    ]);
  });

  it('without a boundary is the one that the log is named for, or the only one', () => {
    expect(fieldsAt([3, 4, 10.5], [undefined, undefined, square(10)], [1, 1, 1])).toEqual([1, 1, 2]);
    expect(fieldsAt([3, 4, 10.5], [square(10), undefined])).toEqual([1, 1, 0]);
    expect(fieldsAt([3, 4], [undefined, undefined])).toEqual([-1, -1]);
    expect(fieldsAt([], [undefined])).toEqual([]);
  });
});
