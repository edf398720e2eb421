import { describe, expect, it } from 'vitest';
import { geodesicDistance, geodesicPolygonArea } from '../../../core/track/geodesic.ts';
import { localFrame, utm } from '../../../core/track/local-frame.ts';

const ORIGINS: readonly (readonly [number, number])[] = [
  [-93.975, 43.924],
  [17.6, 59.8],
  [-63.845, -33.052],
  [151.2, -33.87],
  [36.8, 1.2],
  [0, 0],
  [179.99, -17.5],
  [-179.99, 65],
];

describe('localFrame', () => {
  it.each(ORIGINS)(
    'distances and areas over 5 km around %f, %f agree with the ellipsoid to 1e-6',
    (lon0, lat0) => {
      const frame = localFrame(lon0, lat0);
      const east = [-2500, 2500, 2500, -2500, 1700];
      const north = [-2500, -2500, 2500, 2500, -300];
      const { longitude_deg, latitude_deg } = frame.toGeographic(east, north);
      for (let i = 0; i < 5; i++) {
        for (let j = 0; j < i; j++) {
          const plane = Math.hypot(east[i] - east[j], north[i] - north[j]);
          const ellipsoid = geodesicDistance(
            longitude_deg[i],
            latitude_deg[i],
            longitude_deg[j],
            latitude_deg[j],
          );
          expect(Math.abs(plane / ellipsoid - 1)).toBeLessThan(1e-6);
        }
      }
      const square = geodesicPolygonArea(longitude_deg.slice(0, 4), latitude_deg.slice(0, 4));
      expect(Math.abs(square.area_m2 / 25e6 - 1)).toBeLessThan(1e-6);
    },
  );

  it.each(ORIGINS)('there and back at %f, %f to 0.1 mm, longitudes inside −180..180', (lon0, lat0) => {
    const frame = localFrame(lon0, lat0);
    const east = [0, 2500, -2500, 12.5];
    const north = [0, -2500, 2500, 0.25];
    const geographic = frame.toGeographic(east, north);
    for (const longitude of geographic.longitude_deg) expect(Math.abs(longitude)).toBeLessThanOrEqual(180);
    const plane = frame.toPlane(geographic.longitude_deg, geographic.latitude_deg);
    for (let i = 0; i < 4; i++) {
      expect(plane.east_m[i]).toBeCloseTo(east[i], 4);
      expect(plane.north_m[i]).toBeCloseTo(north[i], 4);
    }
  });

  it('a field across the antimeridian is one field', () => {
    const { east_m } = localFrame(180, -17).toPlane([179.999, -179.999], [-17, -17]);
    expect(east_m[1] - east_m[0]).toBeCloseTo(geodesicDistance(179.999, -17, -179.999, -17), 6);
    expect(east_m[0]).toBeCloseTo(-east_m[1], 6);
  });

  it('east is right and north is up in all four quarters of the globe', () => {
    for (const [lon0, lat0] of [
      [-100, 45],
      [100, 45],
      [-60, -35],
      [150, -35],
    ]) {
      const { east_m, north_m } = localFrame(lon0, lat0).toPlane([lon0 + 0.001, lon0], [lat0, lat0 + 0.001]);
      expect(east_m[0]).toBeGreaterThan(70);
      expect(north_m[1]).toBeGreaterThan(110);
    }
  });

  it('an absent coordinate stays absent', () => {
    const { east_m, north_m } = localFrame(5, 50).toPlane([5, Number.NaN, 5], [50, 50, Number.NaN]);
    expect([...east_m]).toEqual([0, Number.NaN, Number.NaN]);
    expect([...north_m].map((north) => (Number.isNaN(north) ? north : Math.abs(north)))).toEqual([
      0,
      Number.NaN,
      Number.NaN,
    ]);
  });

  it('a million points take about 0.3 s and at most one second', () => {
    const n = 1_000_000;
    const longitude = Float64Array.from({ length: n }, (_, i) => 5 + i * 1e-8);
    const latitude = Float64Array.from({ length: n }, (_, i) => 50 + i * 1e-8);
    const start = process.cpuUsage();
    const { east_m } = localFrame(5, 50).toPlane(longitude, latitude);
    // twice the goal, and time of this process alone: the machine that runs the tests is shared
    expect(process.cpuUsage(start).user).toBeLessThan(2e6);
    expect(east_m[n - 1]).toBeGreaterThan(700);
  });

  it('refuses an origin that is none, and columns of two lengths', () => {
    expect(() => localFrame(Number.NaN, 50)).toThrow(/NaN/);
    expect(() => localFrame(5, 89.5)).toThrow(/89\.5/);
    expect(() => localFrame(5, 50).toPlane([5, 5], [50])).toThrow(/2 and 1/);
    expect(() => geodesicPolygonArea([5, 5], [50])).toThrow(/2 longitudes but 1/);
    expect(() => utm(5, 85)).toThrow(RangeError);
    expect(() => utm(5, 50, 61)).toThrow(/61/);
  });

  it('a ring and the same ring closed have the same area; the other way round has the other sign', () => {
    const longitude = [5, 5.01, 5.01, 5];
    const latitude = [50, 50, 50.01, 50.01];
    const open = geodesicPolygonArea(longitude, latitude);
    const closed = geodesicPolygonArea([...longitude, 5], [...latitude, 50]);
    const clockwise = geodesicPolygonArea(longitude.toReversed(), latitude.toReversed());
    expect(closed.area_m2).toBeCloseTo(open.area_m2, 6);
    expect(clockwise.area_m2).toBeCloseTo(-open.area_m2, 6);
    expect(geodesicPolygonArea([5, 6], [50, 50]).area_m2).toBe(0);
  });
});
