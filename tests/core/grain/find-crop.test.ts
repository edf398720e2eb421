import { describe, expect, test } from 'vitest';
import { KNOWN_CROPS } from '../../../core/grain/crops.ts';
import { findCrop } from '../../../core/grain/find-crop.ts';
import type { CropSheet } from '../../../core/season.ts';

const found = (name: string, crops: readonly CropSheet[] = []) => {
  const answer = findCrop({ crops }, name);
  if (!answer.ok) throw new Error(answer.error.text);
  return answer.value;
};
const refused = (name: string, crops: readonly CropSheet[] = []) => {
  const answer = findCrop({ crops }, name);
  if (answer.ok) throw new Error(`found ${answer.value.name}`);
  return answer.error;
};

describe('known crops', () => {
  test('by name and by other words for it, however written', () => {
    expect(found('corn').standard_moisture_pct).toBe(15.5);
    for (const word of ['Corn', ' MAIZE ', 'shelled_corn', 'Shelled Corn'])
      expect(found(word).name).toBe('corn');
    expect(found('Grain-Sorghum').name).toBe('sorghum');
  });

  test('no word means two crops', () => {
    const words = KNOWN_CROPS.flatMap((crop) => [crop.name, ...crop.aliases]);
    expect(new Set(words).size).toBe(words.length);
  });

  test('every constant says where it comes from', () => {
    for (const crop of KNOWN_CROPS)
      for (const source of Object.values(crop.sources)) expect(source).not.toBe('');
  });
});

describe("the season's own crops", () => {
  test('replace what they name and nothing else', () => {
    const crop = found('maize', [{ name: 'corn', standard_moisture_pct: 15 }]);
    expect(crop.standard_moisture_pct).toBe(15);
    expect(crop.sources.standard_moisture).toBe('season.json');
    expect(crop.bushel_kg).toBe(found('corn').bushel_kg);
    expect(crop.sources.bushel).toBe(found('corn').sources.bushel);
  });

  test('numbers for an alias make a crop of its own', () => {
    const crops = [{ name: 'durum', bulk_density_kg_m3: 800 }];
    expect(found('durum', crops)).toMatchObject({ name: 'durum', bulk_density_kg_m3: 800 });
    expect(found('wheat', crops)).toEqual(found('wheat'));
  });

  test('an added crop: density from the bushel, or no bushel at all', () => {
    const millet = found('teff', [{ name: 'Teff', bushel_lb: 60, standard_moisture_pct: 12 }]);
    expect(millet.bulk_density_kg_m3).toBeCloseTo(772.3116, 4);
    const spelt = found('spelt', [{ name: 'spelt', bulk_density_kg_m3: 400, standard_moisture_pct: 14 }]);
    expect(spelt.bushel_kg).toBeNaN();
  });

  test('an unknown crop: the nearest word, the known ones, and how to add it', () => {
    const error = refused('soybaen', [{ name: 'teff', bushel_lb: 60, standard_moisture_pct: 12 }]);
    expect(error).toMatchObject({ code: 'unknown_crop', source: 'season.json' });
    expect(error.text).toContain('did you mean "soybean"?');
    expect(error.text).toContain('teff');
    expect(error.text).toContain('"crops": [{ "name": "soybaen"');
    expect(refused('zzz').text).not.toContain('did you mean');
  });

  test('an added crop that lacks a number says which', () => {
    expect(refused('teff', [{ name: 'teff', bushel_lb: 60 }]).text).toContain('"standard_moisture_pct"');
    expect(refused('teff', [{ name: 'teff', standard_moisture_pct: 12 }]).text).toContain(
      '"bulk_density_kg_m3"',
    );
  });

  test('a number that no grain has is refused with the range', () => {
    const error = refused('corn', [{ name: 'corn', bulk_density_kg_m3: 72 }]);
    expect(error.code).toBe('crop_out_of_range');
    expect(error.text).toContain('"bulk_density_kg_m3": 72; expected 100 to 1200');
  });
});
