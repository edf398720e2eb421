import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { partitionFolder, partitionText } from '../../../../core/export/formats/hive-partition.ts';

const names = fc.string({ unit: 'binary', minLength: 1, maxLength: 40 });

describe('values of partitions as folder names', () => {
  it('reads as it was where it can, and escapes what a path or an engine could misread', () => {
    expect(partitionText('Home_2.b-3')).toBe('Home_2.b-3');
    expect(partitionText('Süd Ост 北')).toBe('Süd%20Ост%20北');
    expect(partitionText('a/b\\c=d%e:f?g*h"i\'j')).toBe('a%2Fb%5Cc%3Dd%25e%3Af%3Fg%2Ah%22i%27j');
    expect(['.', '..', 'end.', ' '].map(partitionText)).toEqual(['%2E', '.%2E', 'end%2E', '%20']);
    expect(partitionText('')).toBe('__HIVE_DEFAULT_PARTITION__');
    expect(partitionText('a\u202eb\ud800')).toBe('a%E2%80%AEb\ufffd');
  });

  it('decodes to the name again, and every disk takes it', () => {
    fc.assert(
      fc.property(names, (name) => {
        const text = partitionText(name);
        expect(decodeURIComponent(text)).toBe(name);
        expect(text).not.toMatch(/[\p{Cc}<>:"/\\|?*\s]|[.]$/u);
      }),
      { seed: 11, numRuns: 500 },
    );
  });

  it('cuts what no disk would take, between signs', () => {
    for (const sign of ['x', 'ü', '北', '/']) {
      const text = partitionText(sign.repeat(300));
      expect(Buffer.byteLength(text)).toBeLessThanOrEqual(200);
      expect(Buffer.byteLength(text)).toBeGreaterThan(195);
      expect(decodeURIComponent(text).replaceAll(sign, '')).toBe('');
    }
  });

  it('folders differ where a disk takes capital for small letters, and the same field gets the same', () => {
    const taken = new Map<string, string>();
    const folder = (field: string) => partitionFolder({ crop: 'corn', field }, taken);
    expect(['Home', 'home', 'HOME', 'Home', 'home'].map(folder)).toEqual([
      'crop=corn/field=Home',
      'crop=corn/field=%68ome',
      'crop=corn/field=%48OME',
      'crop=corn/field=Home',
      'crop=corn/field=%68ome',
    ]);
    const cut = ['1', '2', '3'].map((end) => folder(`${'x'.repeat(250)}${end}`));
    expect(new Set(cut).size).toBe(3);
    const dots = ['a', 'b'].map((end) => folder(`${'/'.repeat(250)}${end}`));
    expect(new Set(dots).size).toBe(2);
  });

  it('no two of any names share a folder', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.string({ unit: fc.constantFrom('a', 'A', 'ö', 'Ö', '.'), minLength: 1 })),
        (list) => {
          const taken = new Map<string, string>();
          const folders = list.map((field) => partitionFolder({ field }, taken));
          expect(new Set(folders.map((folder) => folder.toLowerCase())).size).toBe(list.length);
          expect(folders.map((folder) => decodeURIComponent(folder.slice('field='.length)))).toEqual(list);
        },
      ),
      { seed: 12, numRuns: 200 },
    );
  });
});
