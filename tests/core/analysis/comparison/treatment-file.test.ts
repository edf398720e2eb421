import { describe, expect, it } from 'vitest';
import { readTreatments, treatmentChoices } from '../../../../core/analysis/comparison/treatment-file.ts';

const RING = [
  [-93.6, 42],
  [-93.599, 42],
  [-93.599, 42.001],
  [-93.6, 42.001],
  [-93.6, 42],
];

function file(rows: readonly object[], coordinates: object = [RING], type = 'Polygon'): string {
  const features = rows.map((properties) => ({
    type: 'Feature',
    properties,
    geometry: { type, coordinates },
  }));
  return JSON.stringify({ type: 'FeatureCollection', features });
}

function choices(text: string) {
  const found = treatmentChoices(text, 'strips.geojson');
  if (!found.ok) throw new Error(found.error.text);
  return found.value;
}

describe('a file of treatments', () => {
  it('shows what can be chosen, and a guess with its reason', () => {
    const rows = [1, 2, 3, 4].map((fid) => ({
      FID: fid,
      SeedRate: fid % 2 ? 30 : 34,
      Block: Math.ceil(fid / 2),
    }));
    const { properties, guess } = choices(file(rows));
    expect(properties.map(({ name, different, samples }) => [name, different, samples.length])).toEqual([
      ['FID', 4, 4],
      ['SeedRate', 2, 2],
      ['Block', 2, 2],
    ]);
    expect(guess).toMatchObject({ treatment: 'SeedRate', replicate: 'Block' });
    expect(guess?.reason).toMatch(/its name says so, and its 2 entries repeat over 4 polygons/);
  });

  it('guesses by what repeats where no name says it, and not at all where nothing repeats', () => {
    const plain = choices(
      file([
        { id: 1, x: 'a' },
        { id: 2, x: 'b' },
        { id: 3, x: 'a' },
      ]),
    );
    expect(plain.guess?.treatment).toBe('x');
    expect(plain.guess?.reason).toMatch(/as treatments do/);
    expect(choices(file([{ id: 1 }, { id: 2 }])).guess).toBeNull();
  });

  it('gives every polygon its treatment, parts of one as strips of their own', () => {
    const text = file([{ t: 'A' }, { t: 7 }, { t: ' ' }], [[RING], [RING]], 'MultiPolygon');
    const read = readTreatments(text, { path: 'strips.geojson', treatment: 't' });
    if (!read.ok) throw new Error(read.error.text);
    expect(read.value.map(({ treatment }) => treatment)).toEqual(['A', 'A', '7', '7']);
    expect(read.notices[0].text).toMatch(/1 polygon\(s\) have no "t" and were left out/);
  });

  it('is refused with a sentence that says how to mend it', () => {
    const refusal = (text: string, treatment = 't') => {
      const read = readTreatments(text, { path: 'strips.geojson', treatment });
      return read.ok ? '' : read.error.text;
    };
    expect(refusal('{"type":"Topology"}')).toMatch(
      /save the polygons of the treatments as a FeatureCollection/,
    );
    expect(refusal(file([{ t: 1 }], [0, 0], 'Point'))).toMatch(/holds no polygon/);
    expect(refusal(file([{ treatment: 1 }]), 'treatmnt')).toMatch(/did you mean "treatment"\?/);
    expect(refusal(file([{ t: null }]))).toMatch(/No polygon of strips.geojson has an entry under "t"/);
    expect(refusal(file(Array(2001).fill({ t: 1 })))).toMatch(/join them into strips/);
    const metres = [RING.map(([east, north]) => [east * 1e5, north * 1e5])];
    expect(refusal(file([{ t: 1 }], metres))).toMatch(/projected grid/);
  });
});
