import { describe, expect, it } from 'vitest';
import { FORMAT_NAMES } from '../../../core/export/formats/format-list.ts';
import { firstChoice } from '../../../renderer/session/layer-exports.ts';
import {
  choiceRefusal,
  formatRefusal,
  leftOutWords,
  OPENS_IN,
  sizeOf,
  toggled,
  usableChoice,
} from '../../../renderer/steps/deliver/export-words.ts';

const FIRST = firstChoice('us');

describe('what can be exported', () => {
  it('a format that holds nothing of what is chosen says which layer it needs', () => {
    expect(formatRefusal('geotiff', ['points'])).toBe('Holds cells only: choose them above.');
    expect(formatRefusal('isoxml', ['cells', 'zones'])).toBe('Holds points only: choose them above.');
    expect(formatRefusal('geotiff', ['points', 'cells'])).toBe(undefined);
    expect(leftOutWords('geotiff', ['points', 'cells', 'zones'])).toBe('Without points and zones.');
    expect(leftOutWords('geojson', ['points', 'cells'])).toBe(undefined);
  });

  it('is asked for without formats that hold nothing, in the order of the lists', () => {
    const choice = { ...FIRST, layers: ['zones', 'points'], formats: ['geotiff', 'csv', 'geojson'] } as const;
    expect(usableChoice(choice)).toMatchObject({ layers: ['points', 'zones'], formats: ['geojson', 'csv'] });
  });

  it('says what is missing before anything is written', () => {
    expect(choiceRefusal(FIRST, null)).toBe(undefined);
    expect(choiceRefusal({ ...FIRST, layers: [] }, null)).toBe('Choose what to write.');
    expect(choiceRefusal(FIRST, [])).toBe('Choose a field.');
    expect(choiceRefusal({ ...FIRST, formats: ['geotiff'] }, null)).toContain('Choose a format');
  });

  it('every format tells what it opens in, by a sentence', () => {
    for (const format of FORMAT_NAMES) expect(OPENS_IN[format]).toMatch(/^[A-Z].*\.$/);
  });
});

describe('small things of the dialog', () => {
  it('items go in and out of a list once', () => {
    expect(toggled(['a', 'b'], 'b', true)).toEqual(['a', 'b']);
    expect(toggled(['a', 'b'], 'a', false)).toEqual(['b']);
  });

  it('sizes have the unit that suits them', () => {
    expect(sizeOf(512)).toMatchObject({ number: 0.5, unit: 'KiB' });
    expect(sizeOf(3 * 1024 * 1024)).toMatchObject({ number: 3, unit: 'MiB' });
  });
});
