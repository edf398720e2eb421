import { createRequire } from 'node:module';
import { describe, expect, it } from 'vitest';
import { CSV } from '../../../../core/export/formats/csv.ts';
import type { ExportLayer } from '../../../../core/export/layers/layer.ts';
import { fewPoints, madeSets } from '../layers/made-layers.ts';
import { makeResult } from '../season-fixture.ts';
import { bytesOf, PROVENANCE, pointLayer, pointSet, polygonLayer } from './layer-fixture.ts';

/** Another reader of CSV; its own types need a browser's. */
const Papa: {
  parse(
    text: string,
    options: object,
  ): { readonly data: readonly string[][]; readonly errors: readonly object[] };
} = createRequire(import.meta.url)('papaparse');

function parsed(text: string): readonly string[][] {
  const { data, errors } = Papa.parse(text, { skipEmptyLines: true });
  expect(errors).toEqual([]);
  return data;
}

async function written(layer: ExportLayer): Promise<{ text: string; rows: Record<string, string>[] }> {
  const [{ pieces }] = await CSV.files([pointSet([layer])], PROVENANCE);
  const text = (await bytesOf(pieces)).toString();
  const [names, ...lines] = parsed(text);
  return { text, rows: lines.map((line) => Object.fromEntries(names.map((name, k) => [name, line[k]]))) };
}

describe('CSV', () => {
  it('gives every number, word and place back that went in', async () => {
    const layer = pointLayer('home', 40);
    const { text, rows } = await written(layer);
    expect(rows).toHaveLength(40);
    // RFC 4180 §2: CRLF after every record, also the last
    expect(text.endsWith('\r\n')).toBe(true);
    expect(text.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
    if (layer.geometry.kind !== 'point') throw new Error('no points');
    const { longitude_deg } = layer.geometry;
    rows.forEach((row, k) => {
      if (k % 11 === 10) expect(row.longitude_deg).toBe('');
      else expect(Math.abs(Number(row.longitude_deg) - longitude_deg[k])).toBeLessThanOrEqual(0.51e-7);
      if (k % 7 === 6) expect(row.yield_t_ha).toBe('');
      else expect(Number(row.yield_t_ha)).toBeCloseTo(9 + (k % 20) / 7, 3);
      expect(row.machine).toBe(k % 5 === 4 ? 'Mähdrescher 2' : 'combine <1> & "co"');
    });
    expect(rows[0].time).toBe('2026-10-03T12:00:00.000Z');
  });

  it('has one header for all fields', async () => {
    for (const set of madeSets(fewPoints(makeResult()), 'us')) {
      const [{ pieces }] = await CSV.files([set], PROVENANCE);
      const data = parsed((await bytesOf(pieces)).toString());
      expect(data).toHaveLength(1 + set.layers.reduce((sum, { rows }) => sum + rows, 0));
      expect(new Set(data.map(({ length }) => length)).size).toBe(1);
    }
  });

  it('runs no formula: words that look like one are marked as words, numbers below zero are not touched', async () => {
    const layer = pointLayer('home', 6);
    const words = ['=1+1', '+cmd', '-2', '@sum', '\tx', '\rx'];
    const columns: ExportLayer['columns'] = [
      {
        kind: 'text',
        name: 'load',
        short_name: 'load',
        about: '',
        words,
        codes: Int32Array.from(words.keys()),
      },
      {
        kind: 'real',
        name: 'd',
        short_name: 'd',
        about: '',
        digits: 1,
        numbers: new Float64Array(6).fill(-2.5),
      },
    ];
    const { rows } = await written({ ...layer, columns });
    expect(rows.map(({ load }) => load)).toEqual(words.map((word) => `'${word}`));
    expect(rows.map(({ d }) => d)).toEqual(words.map(() => '-2.5'));
  });

  it('has the ground of polygons as well-known text, cut at the 180° meridian', async () => {
    const { rows } = await written(polygonLayer('fiji', 12));
    expect(rows[9].WKT).toBe('');
    expect(rows.filter(({ WKT }) => WKT.startsWith('MULTIPOLYGON (((')).length).toBeGreaterThan(0);
    expect(rows[0].WKT).toMatch(/^POLYGON \(\(179\.99945 -16\.5,179\.99955 -16\.5,.*\),\(.*\)\)$/);
  });
});
