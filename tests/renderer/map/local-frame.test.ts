import fc from 'fast-check';
import geodesic from 'geographiclib-geodesic';
import { MercatorCoordinate } from 'maplibre-gl';
import { describe, expect, it } from 'vitest';
import {
  frameMatrix,
  latitudeFromMercatorY,
  localFrame,
  lonLatFromMetres,
  mercatorX,
  mercatorY,
  metresFromLonLat,
} from '../../../renderer/map/local-frame.ts';

const wgs84 = geodesic.Geodesic.WGS84;
const latitudes = fc.double({ min: -65, max: 70, noNaN: true });
const longitudes = fc.double({ min: -179, max: 179, noNaN: true });

describe('the frame in which a field is drawn', () => {
  it('speaks of the same unit square as the map', () => {
    fc.assert(
      fc.property(longitudes, latitudes, (longitude, latitude) => {
        const theirs = MercatorCoordinate.fromLngLat([longitude, latitude]);
        expect(mercatorX(longitude)).toBeCloseTo(theirs.x, 14);
        expect(mercatorY(latitude)).toBeCloseTo(theirs.y, 14);
        expect(latitudeFromMercatorY(mercatorY(latitude))).toBeCloseTo(latitude, 11);
      }),
    );
  });

  it('measures as the ellipsoid does: a kilometre is right to 3 parts in ten thousand, whichever way it goes', () => {
    const bearings = fc.double({ min: 0, max: 360, noNaN: true });
    fc.assert(
      fc.property(longitudes, latitudes, bearings, (longitude, latitude, bearing) => {
        const frame = localFrame(longitude, latitude);
        // Karney 2013, through GeographicLib: the place a kilometre away.
        const { lat2, lon2 } = wgs84.Direct(latitude, longitude, bearing, 1000);
        const [east_m, north_m] = metresFromLonLat(frame, Number(lon2), Number(lat2));
        expect(Math.abs(Math.hypot(east_m, north_m) - 1000)).toBeLessThan(0.3);
        expect(Math.abs(east_m - 1000 * Math.sin((bearing * Math.PI) / 180))).toBeLessThan(0.4);
      }),
    );
  });

  it('goes there and back again', () => {
    const frame = localFrame(9.2, 48.7);
    const [longitude, latitude] = lonLatFromMetres(frame, 812.5, -333.25);
    const [east_m, north_m] = metresFromLonLat(frame, longitude, latitude);
    expect(east_m).toBeCloseTo(812.5, 6);
    expect(north_m).toBeCloseTo(-333.25, 6);
  });

  it('keeps millimetres through 32 bits, which places of the whole world do not', () => {
    const frame = localFrame(-93.2, 42.01);
    // From the unit square to a screen of zoom 22, looking at the frame's origin.
    const world = 512 * 2 ** 22;
    const mercator = [world, 0, 0, 0, 0, -world, 0, 0, 0, 0, 1, 0];
    mercator.push(-frame.mercator_x * world, frame.mercator_y * world, 0, 1);
    const matrix = frameMatrix(frame, mercator);
    const [east_m, north_m] = [437.125, -212.75];
    const x = matrix[0] * east_m + matrix[4] * north_m + matrix[12];
    const y = matrix[1] * east_m + matrix[5] * north_m + matrix[13];
    const px_per_m = world / frame.east_m_per_mercator;
    expect(x / px_per_m).toBeCloseTo(east_m, 3);
    expect(y / (world / frame.north_m_per_mercator)).toBeCloseTo(north_m, 3);
    const [longitude] = lonLatFromMetres(frame, east_m, north_m);
    const naive = Math.fround(mercatorX(longitude)) - Math.fround(frame.mercator_x);
    expect(Math.abs(naive * frame.east_m_per_mercator - east_m)).toBeGreaterThan(0.1);
  });

  it('refuses places that are on no map', () => {
    expect(() => localFrame(0, 89)).toThrow(RangeError);
    expect(() => localFrame(Number.NaN, 10)).toThrow(RangeError);
  });
});
