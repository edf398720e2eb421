import { describe, expect, it } from 'vitest';
import { type BoundaryPolygons, readBoundary } from '../../../core/read/boundaries.ts';

const SQUARE = [
  [-93.5, 42],
  [-93.49, 42],
  [-93.49, 42.01],
  [-93.5, 42.01],
  [-93.5, 42],
];
const HOLE = [
  [-93.497, 42.003],
  [-93.497, 42.006],
  [-93.494, 42.006],
  [-93.497, 42.003],
];

const polygon = { type: 'Polygon', coordinates: [SQUARE, HOLE] };
const feature = { type: 'Feature', properties: { name: 'Home' }, geometry: polygon };

function read(content: unknown): BoundaryPolygons {
  const result = readBoundary(JSON.stringify(content), 'boundaries/home.geojson');
  if (!result.ok) throw new Error(result.error.text);
  return result.value;
}

function errorOf(content: unknown): { code: string; text: string } {
  const text = typeof content === 'string' ? content : JSON.stringify(content);
  const result = readBoundary(text, 'boundaries/home.geojson');
  if (result.ok) throw new Error('it was read');
  return result.error;
}

describe('readBoundary', () => {
  it('gives rings as interleaved longitude and latitude, outer first', () => {
    const { source, polygons } = read(polygon);
    expect(source).toBe('boundaries/home.geojson');
    expect(polygons).toEqual([[Float64Array.from(SQUARE.flat()), Float64Array.from(HOLE.flat())]]);
  });

  it.each([
    ['Feature', feature, 1],
    ['MultiPolygon', { type: 'MultiPolygon', coordinates: [[SQUARE, HOLE], [SQUARE]] }, 2],
    ['FeatureCollection', { type: 'FeatureCollection', features: [feature, feature, feature] }, 3],
    [
      'GeometryCollection',
      { type: 'GeometryCollection', geometries: [polygon, { type: 'Point', coordinates: [0, 0] }] },
      1,
    ],
  ])('unwraps a %s', (_, content, count) => {
    expect(read(content).polygons).toHaveLength(count);
  });

  it('does not mind the direction of rings, heights, or a byte-order mark', () => {
    const turned = {
      type: 'Polygon',
      coordinates: [[...SQUARE].reverse().map((position) => [...position, 310.5])],
    };
    const result = readBoundary(`\uFEFF${JSON.stringify(turned)}`, 'b');
    expect(result.ok && result.value.polygons[0][0]).toEqual(Float64Array.from([...SQUARE].reverse().flat()));
    expect(result.notices).toEqual([]);
  });

  it('closes an open ring and says so', () => {
    const result = readBoundary(JSON.stringify({ type: 'Polygon', coordinates: [SQUARE.slice(0, 4)] }), 'b');
    expect(result.ok && result.value.polygons[0][0]).toEqual(Float64Array.from(SQUARE.flat()));
    expect(result.notices).toEqual([
      expect.objectContaining({ code: 'ring_closed', severity: 'info', count: 1 }),
    ]);
  });

  it('leaves out rings of two points and geometries that bound nothing, and says so', () => {
    const content = {
      type: 'FeatureCollection',
      features: [
        {
          type: 'Feature',
          properties: {},
          geometry: { type: 'Polygon', coordinates: [SQUARE, [SQUARE[0], SQUARE[1], SQUARE[0]]] },
        },
        { type: 'Feature', properties: {}, geometry: { type: 'Point', coordinates: [-93.5, 42] } },
        { type: 'Feature', properties: {}, geometry: null },
      ],
    };
    const result = readBoundary(JSON.stringify(content), 'b');
    expect(result.ok && result.value.polygons.map((rings) => rings.length)).toEqual([1]);
    expect(result.notices.map(({ code, count }) => `${code} ${count}`)).toEqual([
      'ring_too_small 1',
      'geometry_ignored 2',
    ]);
  });
});

describe('what is no boundary', () => {
  const moved = (to: (position: number[]) => number[]) => ({
    type: 'Polygon',
    coordinates: [SQUARE.map(to)],
  });

  it('names swapped coordinates', () => {
    const error = errorOf(moved(([lon, lat]) => [lat, lon]));
    expect(error.code).toBe('position_out_of_range');
    expect(error.text).toContain('[42, -93.5]: longitude and latitude are likely swapped');
  });

  it('names projected coordinates', () => {
    expect(errorOf(moved(() => [458_591.1, 4_649_897.1])).text).toContain('likely in a projected grid');
  });

  it.each([
    ['empty text', '', 'json_syntax', 'empty'],
    ['no JSON', 'lon,lat\n', 'json_syntax', ''],
    ['another object', { name: 'Home' }, 'not_geojson', 'its type is missing'],
    ['another type', { type: 'Topology' }, 'not_geojson', 'its type is "Topology"'],
    ['a list', [1, 2], 'not_geojson', 'not GeoJSON'],
    ['a number', 5, 'not_geojson', 'not GeoJSON'],
    ['an empty collection', { type: 'FeatureCollection', features: [] }, 'no_polygon', 'no geometry'],
    ['a collection without features', { type: 'FeatureCollection' }, 'not_geojson', '"features"'],
    ['a line', { type: 'LineString', coordinates: SQUARE }, 'no_polygon', 'only points or lines'],
    ['a polygon without rings', { type: 'Polygon', coordinates: [] }, 'no_polygon', 'no geometry'],
    [
      'a polygon of one point',
      { type: 'Polygon', coordinates: [[SQUARE[0]]] },
      'no_polygon',
      'three or more',
    ],
    ['a polygon without coordinates', { type: 'Polygon' }, 'not_geojson', 'list of rings'],
    [
      'positions of text',
      { type: 'Polygon', coordinates: [[['a', 'b']]] },
      'position_out_of_range',
      '["a","b"]',
    ],
    [
      'positions that are missing',
      { type: 'Polygon', coordinates: [[null, null, null]] },
      'position_out_of_range',
      'null',
    ],
  ])('%s', (_, content, code, words) => {
    const error = errorOf(content);
    expect(error.code).toBe(code);
    expect(error.text).toContain(words);
    expect(error.text).toContain('boundaries/home.geojson');
  });

  it('does not follow collections for ever', () => {
    let nested: unknown = polygon;
    for (let i = 0; i < 100; i++) nested = { type: 'GeometryCollection', geometries: [nested] };
    expect(errorOf(nested).code).toBe('not_geojson');
  });
});
