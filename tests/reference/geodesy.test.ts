/**
 * Distances, areas and projections against published and independently computed figures.
 * Sources: GeodTest lines (Karney, "Test set for geodesics", 2013, doi 10.5281/zenodo.32156); Planimeter examples
 * (GeographicLib manual); Flinders Peak–Buninyong (Geodetic Datum of Australia technical manual);
 * geodesy.json (its origin is stated inside); UTM figures as marked.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { geodesicDistance, geodesicPolygonArea } from '../../core/track/geodesic.ts';
import { localFrame, utm } from '../../core/track/local-frame.ts';

interface ComputedGeodesy {
  readonly lines: readonly {
    readonly lat1: number;
    readonly lon1: number;
    readonly lat2: number;
    readonly lon2: number;
    readonly s12_m: number;
  }[];
  readonly polygons: Readonly<
    Record<
      string,
      {
        readonly lonlat?: readonly (readonly [number, number])[];
        readonly perimeter_m?: number;
        readonly area_ellipsoid_m2: number;
      }
    >
  >;
  readonly utm: readonly {
    readonly lat: number;
    readonly lon: number;
    readonly zone: number;
    readonly hemisphere: string;
    readonly easting: number;
    readonly northing: number;
  }[];
}

const computed: ComputedGeodesy = JSON.parse(readFileSync(new URL('geodesy.json', import.meta.url), 'utf8'));

const sexagesimal = (degrees: number, minutes: number, seconds: number) =>
  degrees + minutes / 60 + seconds / 3600;

describe('geodesic lines', () => {
  // GeodTest: lat1, lon2, lat2, s12 (lon1 = 0)
  it.each([
    [36.530042355041, 5.76234469467651, -48.1642707790978, 9398502.0434687],
    [19.707097385334, 0.000260256428101053, 19.7077395828103, 76.1478894],
    [23.104245923137, 0.00230523747011909, 23.1035204302805, 249.4508219],
    [78.10174623178, 0.0141567707440579, 78.0997110316388, 397.364659],
    [31.371144087006, 17.0715264653314, 28.9096317858568, 1665550.2846815],
  ])('GeodTest line from latitude %f', (latitude0, longitude1, latitude1, distance) => {
    expect(Math.abs(geodesicDistance(0, latitude0, longitude1, latitude1) - distance)).toBeLessThan(1e-6);
  });

  it('Flinders Peak to Buninyong is 54 972.271 m', () => {
    const distance = geodesicDistance(
      sexagesimal(144, 25, 29.5244),
      -sexagesimal(37, 57, 3.7203),
      sexagesimal(143, 55, 35.3839),
      -sexagesimal(37, 39, 10.1561),
    );
    expect(distance).toBeCloseTo(54972.271, 3);
  });

  it('30 computed lines of 1 m to 1 km, by the geodesic and in the plane of the field', () => {
    for (const line of computed.lines) {
      expect(
        Math.abs(geodesicDistance(line.lon1, line.lat1, line.lon2, line.lat2) - line.s12_m),
      ).toBeLessThan(1e-6);
      const frame = localFrame(line.lon1 + 0.01, line.lat1 - 0.01);
      const { east_m, north_m } = frame.toPlane([line.lon1, line.lon2], [line.lat1, line.lat2]);
      const distance = Math.hypot(east_m[1] - east_m[0], north_m[1] - north_m[0]);
      expect(Math.abs(distance - line.s12_m)).toBeLessThan(1e-6 * line.s12_m + 2e-9);
    }
  });
});

describe('geodesic polygons', () => {
  // GeographicLib manual, Planimeter and PolygonArea tests: [lat, lon] rings, perimeter, area
  it.each([
    [
      'around the pole',
      [
        [89, 0],
        [89, 90],
        [89, 180],
        [89, 270],
      ],
      631819.8745,
      24952305678.0,
      1,
    ],
    [
      'diamond on the equator',
      [
        [0, -1],
        [-1, 0],
        [0, 1],
        [1, 0],
      ],
      627598.2731,
      24619419146,
      1,
    ],
    [
      'an octant',
      [
        [90, 0],
        [0, 0],
        [0, 90],
      ],
      30022685,
      63758202715511,
      1e7,
    ],
    [
      'Antarctica',
      [
        [-63.1, -58],
        [-72.9, -74],
        [-71.9, -102],
        [-74.9, -102],
        [-74.3, -131],
        [-77.5, -163],
        [-77.4, 163],
        [-71.7, 172],
        [-65.9, 140],
        [-65.7, 113],
        [-66.6, 88],
        [-66.9, 59],
        [-69.8, 25],
        [-70, -4],
        [-71, -14],
        [-77.3, -33],
        [-77.9, -46],
        [-74.7, -61],
      ],
      16831067.893,
      13662703680020.1,
      1,
    ],
    [
      'a field (computed)',
      [
        [42, -93.5],
        [42, -93.49],
        [42.005, -93.49],
        [42.005, -93.5],
      ],
      2767.68369,
      460107.49681,
      1e-4,
    ],
  ] as const)('%s', (_, ring, perimeter, area, tolerance) => {
    const solved = geodesicPolygonArea(
      ring.map(([, longitude]) => longitude),
      ring.map(([latitude]) => latitude),
    );
    expect(Math.abs(solved.area_m2 - area)).toBeLessThan(tolerance);
    expect(Math.abs(solved.perimeter_m - perimeter)).toBeLessThan(1);
  });

  it('seven computed fields, by the geodesic and in the plane of the field, to 1e-6', () => {
    for (const { lonlat, area_ellipsoid_m2 } of Object.values(computed.polygons)) {
      if (!lonlat) continue;
      const longitude = lonlat.map(([x]) => x);
      const latitude = lonlat.map(([, y]) => y);
      expect(Math.abs(geodesicPolygonArea(longitude, latitude).area_m2) / area_ellipsoid_m2).toBeCloseTo(
        1,
        8,
      );
      const { east_m, north_m } = localFrame(longitude[0], latitude[0]).toPlane(longitude, latitude);
      let twice = 0;
      for (let i = 0; i < longitude.length; i++) {
        const j = (i + 1) % longitude.length;
        twice += east_m[i] * north_m[j] - east_m[j] * north_m[i];
      }
      expect(Math.abs(Math.abs(twice) / 2 / area_ellipsoid_m2 - 1)).toBeLessThan(1e-6);
    }
  });
});

describe('UTM', () => {
  // Published to the metre, recomputed with pyproj 3.7.2; the one without a printed figure is from memory.
  it.each([
    [50.77535, 6.08389, 32, 'N', 294408.917, 5628897.997],
    [40.71435, -74.00597, 18, 'N', 583959.959, 4507523.087],
    [33.3, 44.4, 38, 'N', 444140.545, 3684706.356],
    [sexagesimal(43, 38, 33.24), -sexagesimal(79, 23, 13.7), 17, 'N', 630084.31, 4833438.55],
    [42, -93.5, 15, 'N', 458591.1333, 4649897.1251],
    [-33.8688, 151.2093, 56, 'S', 334368.634, 6250948.345],
  ])('%f, %f', (latitude, longitude, zone, hemisphere, easting, northing) => {
    const position = utm(longitude, latitude);
    expect(position).toMatchObject({ zone, hemisphere });
    expect(Math.abs(position.easting_m - easting)).toBeLessThan(0.01);
    expect(Math.abs(position.northing_m - northing)).toBeLessThan(0.01);
  });

  it('20 computed points to a tenth of a millimetre', () => {
    for (const point of computed.utm) {
      const position = utm(point.lon, point.lat, point.zone);
      expect(position.hemisphere).toBe(point.hemisphere);
      expect(Math.abs(position.easting_m - point.easting)).toBeLessThan(1e-4);
      expect(Math.abs(position.northing_m - point.northing)).toBeLessThan(1e-4);
    }
  });
});
