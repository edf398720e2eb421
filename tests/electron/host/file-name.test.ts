import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isPartName } from '../../../electron/host/durable-write.ts';
import { folderNameFrom, numberedName, plainFileName } from '../../../electron/host/file-name.ts';

describe('plain file names', () => {
  it('keep what is harmless', () => {
    for (const name of ['combine.log', 'Höhe 3 (Nord).csv', 'RUN_0001.TXT', 'c1.log.gz', '収穫.csv'])
      expect(plainFileName(name, 'file')).toBe(name);
  });

  it('never lead anywhere', () => {
    expect(plainFileName('../../etc/passwd', 'file')).toBe('passwd');
    expect(plainFileName('C:\\logs\\a.log', 'file')).toBe('a.log');
    expect(plainFileName('..', 'file')).toBe('file');
    expect(plainFileName('logs/', 'file')).toBe('file');
    expect(plainFileName('.hidden', 'file')).toBe('hidden');
  });

  it('are taken by every system', () => {
    expect(plainFileName('CON.log', 'file')).toBe('_CON.log');
    expect(plainFileName('a:b?.log', 'file')).toBe('a-b-.log');
    expect(plainFileName('a.log. ', 'file')).toBe('a.log');
    expect(plainFileName('evil\u202egol.exe', 'file')).toBe('evilgol.exe');
    expect(plainFileName(`${'x'.repeat(300)}.log.gz`, 'file')).toBe(`${'x'.repeat(173)}.log.gz`);
  });

  it('are never those of part files', () => {
    expect(isPartName('season.json.12.0a1b2c3d.part')).toBe(true);
    expect(isPartName(plainFileName('season.json.12.0a1b2c3d.part', 'file'))).toBe(false);
    expect(isPartName('my notes.part')).toBe(false);
  });

  it('take a number before the ending', () => {
    expect(numberedName('combine.log', 2)).toBe('combine-2.log');
    expect(numberedName('combine.log.gz', 2)).toBe('combine-2.log.gz');
    expect(numberedName('2026.10.03.log', 3)).toBe('2026.10.03-3.log');
    expect(numberedName('noend', 2)).toBe('noend-2');
  });

  it('hold for any text', () => {
    const text = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 400 }),
      fc.string({ unit: 'grapheme-ascii', maxLength: 60 }),
      fc
        .array(fc.constantFrom('..', '/', '\\', '.', ' ', 'nul', '\0', 'part', ':', 'a'), { maxLength: 12 })
        .map((p) => p.join('')),
    );
    fc.assert(
      fc.property(text, (given) => {
        const name = plainFileName(given, 'file');
        expect(name).not.toMatch(/[/\\<>:"|?*\0]|^\.|^$|[. ]$/);
        expect(Buffer.byteLength(name)).toBeLessThanOrEqual(181);
        expect(isPartName(name)).toBe(false);
        expect(plainFileName(name, 'file')).toBe(name);
      }),
      { numRuns: 5000, seed: 5 },
    );
  });
});

describe('folder names of seasons', () => {
  it('are small words with dashes', () => {
    expect(folderNameFrom('Kestrel Flats 2026')).toBe('kestrel-flats-2026');
    expect(folderNameFrom('  Höfe & Söhne / 2026 ')).toBe('hofe-sohne-2026');
    expect(folderNameFrom('???')).toBe('season');
    expect(folderNameFrom('../..')).toBe('season');
  });
});
