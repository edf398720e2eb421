import { describe, expect, it } from 'vitest';
import { geojsonPieces } from '../../../core/export/geojson.ts';
import type { FieldPoints, SeasonResult } from '../../../core/result.ts';
import { makeResult, SEASON } from './season-fixture.ts';

interface Collection {
  readonly type: string;
  readonly bbox?: number[];
  readonly features: {
    readonly geometry: { readonly coordinates: number[] } | null;
    readonly properties: Record<string, unknown>;
  }[];
}

function written(
  result: SeasonResult,
  points: 'kept' | 'all' = 'kept',
): { text: string; collection: Collection } {
  const text = [...geojsonPieces(SEASON, result, { points })].join('');
  return { text, collection: JSON.parse(text) as Collection };
}

/** The fixture with some columns of its first field replaced. */
function changed(columns: Partial<FieldPoints>): SeasonResult {
  const result = makeResult();
  return { ...result, points: [{ ...result.points[0], ...columns }] };
}

describe('points.geojson', () => {
  const result = makeResult();
  const { text, collection } = written(result);

  it('is one RFC 7946 feature collection with a bounding box and no crs', () => {
    expect(Object.keys(collection)).toEqual(['type', 'bbox', 'features']);
    expect(collection.bbox?.every(Number.isFinite)).toBe(true);
    expect(text.endsWith('\n]}\n')).toBe(true);
  });

  it('holds the kept points only', () => {
    const kept = result.summary.fields.reduce((sum, field) => sum + field.points.kept, 0);
    expect(collection.features).toHaveLength(kept);
    expect(collection.features.every((feature) => feature.properties.kept === true)).toBe(true);
    expect(collection.features.every((feature) => feature.properties.screened_by === null)).toBe(true);
  });

  it('holds every point on request, each with its reason', () => {
    const all = written(result, 'all').collection;
    expect(all.features).toHaveLength(
      result.summary.fields.reduce((sum, field) => sum + field.points.total, 0),
    );
    expect(new Set(all.features.map((feature) => feature.properties.screened_by))).toEqual(
      new Set([null, 'not_cutting', 'ramp', 'slow', 'narrow_cut']),
    );
  });

  it('names the properties exactly as the contract does, bushels only where the crop has them', () => {
    const names =
      'time field machine pass load yield_t_ha yield_bu_ac yield_se_t_ha mass_flow_kg_s volume_flow_l_s moisture_pct speed_m_s heading_deg cut_width_m distance_m kept screened_by'.split(
        ' ',
      );
    expect(Object.keys(collection.features[0].properties)).toEqual(names);
    const lupins = collection.features.at(-1)?.properties ?? {};
    expect(Object.keys(lupins)).toEqual(names.filter((name) => name !== 'yield_bu_ac'));
  });

  it('converts: 1 kg/m² of corn at standard moisture is 10 t/ha and 159.32 bu/ac (4046.8564224 m² / 25.40117272 kg)', () => {
    const rows = result.points[0].t_s.length;
    const one = written(changed({ yield_kg_m2: new Float64Array(rows).fill(1) })).collection.features[0]
      .properties;
    expect(one.yield_t_ha).toBe(10);
    expect(one.yield_bu_ac).toBe(159.32);
  });

  it('writes UTC times, seven decimals, and null for what is absent', () => {
    const rows = result.points[0].t_s.length;
    const first = result.points[0].screened_by.indexOf(0);
    const { features } = written(
      changed({
        t_s: new Float64Array(rows).fill(0.25),
        longitude_deg: new Float64Array(rows).fill(-96.812345678),
        latitude_deg: new Float64Array(rows).fill(42.3),
        moisture_pct: new Float64Array(rows).fill(Number.NaN),
        load: new Int32Array(rows).fill(-1),
        pass: new Int32Array(rows).fill(-1),
        heading_rad: new Float64Array(rows).fill(-1e-9),
      }),
    ).collection;
    expect(first).toBeGreaterThan(0);
    // 1,790,000,000 s is 2026-09-21 14:13:20 UTC.
    expect(features[0].properties).toMatchObject({
      time: '2026-09-21T14:13:20.250Z',
      moisture_pct: null,
      load: null,
      pass: null,
      heading_deg: 0,
    });
    expect(features[0].geometry?.coordinates).toEqual([-96.8123457, 42.3]);
  });

  it('gives a point without a position a null geometry, and no bounding box when none has one', () => {
    const nowhere = new Float64Array(result.points[0].t_s.length).fill(Number.NaN);
    const lost = written(changed({ longitude_deg: nowhere, latitude_deg: nowhere }), 'all').collection;
    expect(lost.bbox).toBeUndefined();
    expect(lost.features[0].geometry).toBeNull();
  });

  it('wraps the bounding box round the 180° meridian', () => {
    const longitude_deg = result.points[0].longitude_deg.map((_, row) => (row % 2 === 0 ? 179.99 : -179.99));
    const box = written(changed({ longitude_deg })).collection.bbox;
    expect(box?.[0]).toBe(179.99);
    expect(box?.[2]).toBe(-179.99);
  });

  it('is valid when nothing was kept', () => {
    const none = changed({ screened_by: new Uint8Array(result.points[0].t_s.length).fill(1) });
    expect(written(none).collection.features).toEqual([]);
  });

  it('comes in pieces, however large the season is', () => {
    const longest = Math.max(
      ...[...geojsonPieces(SEASON, result, { points: 'all' })].map((piece) => piece.length),
    );
    expect(longest).toBeLessThan(400_000);
  });
});
