import { describe, expect, it } from 'vitest';
import { ringsOf } from '../../../renderer/session/outlines.ts';

const RING = [
  [0, 0],
  [1, 0],
  [1, 1],
  [0, 0],
];

describe('rings of a boundary', () => {
  it('come out of every shape that holds polygons', () => {
    const polygon = { type: 'Polygon', coordinates: [RING, RING] };
    const many = { type: 'MultiPolygon', coordinates: [[RING], [RING]] };
    const collection = {
      type: 'FeatureCollection',
      features: [
        { type: 'Feature', properties: {}, geometry: polygon },
        { type: 'Feature', properties: {}, geometry: { type: 'GeometryCollection', geometries: [many] } },
      ],
    };
    expect(ringsOf(JSON.stringify(polygon))).toEqual([RING, RING]);
    expect(ringsOf(JSON.stringify(collection))).toHaveLength(4);
  });

  it('are none for anything else', () => {
    for (const text of [
      '',
      '{',
      'null',
      '{"type":"Point","coordinates":[0,0]}',
      '{"type":"Polygon","coordinates":[["a"]]}',
    ])
      expect(ringsOf(text)).toEqual([]);
  });
});
