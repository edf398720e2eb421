import rewind from '@mapbox/geojson-rewind';
import { check } from '@placemarkio/check-geojson';
import type { FeatureCollection, Polygon, Position } from 'geojson';
import { describe, expect, it } from 'vitest';
import { GEOJSON } from '../../../../core/export/formats/geojson.ts';
import { fewPoints, madeSets } from '../layers/made-layers.ts';
import { makeResult } from '../season-fixture.ts';
import { bytesOf, FIELD_NAMES, PROVENANCE, pointLayer, pointSet, polygonLayer } from './layer-fixture.ts';

async function written(
  sets: Parameters<typeof GEOJSON.files>[0],
): Promise<{ text: string; collection: FeatureCollection }[]> {
  const files = await GEOJSON.files(sets, PROVENANCE);
  return Promise.all(
    files.map(async ({ pieces }) => {
      const text = (await bytesOf(pieces)).toString();
      // throws with what is wrong and where [RFC 7946]
      check(text);
      return { text, collection: JSON.parse(text) as FeatureCollection };
    }),
  );
}

function positionsOf(collection: FeatureCollection): Position[] {
  return collection.features.flatMap(({ geometry }): Position[] => {
    if (geometry === null) return [];
    if (geometry.type === 'Point') return [geometry.coordinates];
    if (geometry.type === 'Polygon') return geometry.coordinates.flat();
    return geometry.type === 'MultiPolygon' ? geometry.coordinates.flat(2) : [];
  });
}

describe('GeoJSON', () => {
  for (const points of ['kept', 'all'] as const) {
    it(`is RFC 7946 for every layer of a season, ${points} points: rings by the right hand, a box, no crs`, async () => {
      const found = await written(madeSets(fewPoints(makeResult()), 'us', points));
      expect(found).toHaveLength(4);
      for (const { collection } of found) {
        expect(Object.keys(collection)).toEqual(['type', 'bbox', 'provenance', 'features']);
        const positions = positionsOf(collection);
        expect(positions.length).toBeGreaterThan(20);
        const [west, south, east, north] = collection.bbox ?? [0, 0, 0, 0];
        const inside = positions.filter(
          ([longitude, latitude]) =>
            longitude >= west && longitude <= east && latitude >= south && latitude <= north,
        );
        expect(inside.length).toBe(positions.length);
        const before = JSON.stringify(collection);
        // a library that turns rings has nothing to turn
        expect(JSON.stringify(rewind(collection))).toBe(before);
      }
    });
  }

  it('would be turned by that library if rings ran the other way', () => {
    // the ring of science's rewind example: clockwise
    const clockwise: Polygon = {
      type: 'Polygon',
      coordinates: [
        [
          [100, 0],
          [100, 1],
          [101, 1],
          [101, 0],
          [100, 0],
        ],
      ],
    };
    expect(rewind(structuredClone(clockwise))).not.toEqual(clockwise);
  });

  it('cuts polygons along the 180° meridian, and its box goes round it', async () => {
    const [{ collection }] = await written([pointSet([polygonLayer('fiji', 12)], 'cells')]);
    expect(collection.features.map(({ geometry }) => geometry?.type ?? null)).toContain('MultiPolygon');
    const longitudes = positionsOf(collection).map(([longitude]) => longitude);
    expect(Math.max(...longitudes)).toBe(180);
    expect(Math.min(...longitudes)).toBe(-180);
    expect(collection.bbox?.[0]).toBeCloseTo(179.99945, 6);
    expect(collection.bbox?.[2]).toBeLessThan(-179.99);
    // every tenth has no ground
    expect(collection.features[9].geometry).toBeNull();
  });

  it('keeps places to a centimetre and numbers to their digits, and says null for what is absent', async () => {
    const layer = pointLayer('home', 60);
    const [{ collection }] = await written([pointSet([layer])]);
    if (layer.geometry.kind !== 'point') throw new Error('no points');
    const { longitude_deg, latitude_deg } = layer.geometry;
    collection.features.forEach(({ geometry, properties }, row) => {
      if (row % 11 === 10) expect(geometry).toBeNull();
      else {
        const [longitude, latitude] = positionsOf({ ...collection, features: [collection.features[row]] })[0];
        expect(Math.abs(longitude - longitude_deg[row])).toBeLessThanOrEqual(0.51e-7);
        expect(Math.abs(latitude - latitude_deg[row])).toBeLessThanOrEqual(0.51e-7);
      }
      if (row % 7 === 6) expect(properties?.yield_t_ha).toBeNull();
      else expect(properties?.yield_t_ha).toBeCloseTo(9 + (row % 20) / 7, 3);
      expect(properties?.kept).toBe(row % 7 === 6 ? null : row % 13 !== 12);
      expect(properties?.load).toBe(row % 3 === 2 ? null : '1045');
    });
    expect(collection.features[0].properties?.time).toBe('2026-10-03T12:00:00.000Z');
  });

  it('carries where it comes from, and names as they are', async () => {
    const [{ text, collection }] = await written([pointSet([pointLayer('fiji', 3)])]);
    const { settings, ...said } = PROVENANCE;
    expect(collection).toMatchObject({ provenance: { ...said, settings: JSON.parse(settings) } });
    expect(text).not.toContain('"crs"');
    expect(collection.features[0].properties?.machine).toBe('combine <1> & "co"');
    expect(FIELD_NAMES.fiji).toContain('"');
  });

  it('is valid with no feature at all', async () => {
    const [{ collection }] = await written([pointSet([pointLayer('home', 0)])]);
    expect([collection.features, collection.bbox]).toEqual([[], undefined]);
    expect((await written([{ stem: 'nothing', kind: 'points', layers: [] }]))[0].collection.features).toEqual(
      [],
    );
  });

  it('has no ground where it is smaller than a position is told', async () => {
    const speck = 1e-9;
    const layer = polygonLayer('home', 1);
    const ring = Float64Array.of(10, 50, 10 + speck, 50, 10 + speck, 50 + speck, 10, 50);
    const [{ collection }] = await written([
      pointSet([{ ...layer, geometry: { kind: 'polygon', rings: () => [ring] } }], 'cells'),
    ]);
    expect(collection.features[0].geometry).toBeNull();
  });
});
