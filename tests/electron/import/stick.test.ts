/** A stick of forty files into a season, by the command: the build gives what the well-kept season gives. */
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { ImportReport } from '../../../core/host-contract.ts';
import { runSeason } from '../../../electron/host/run-season.ts';
import { command, Scratch } from './import-fixture.ts';
import { makeStick, type Stick } from './stick.ts';

let scratch: Scratch;
let stick: Stick;
/** The season that the stick goes into, and the stick. */
let season: string;
let files: string;
let report: ImportReport;

async function totals(folder: string) {
  const run = await runSeason(folder, () => undefined);
  if (!run.ok) throw new Error(run.error.text);
  return run.value.result.summary;
}

beforeAll(() => {
  scratch = new Scratch();
  stick = makeStick();
  files = scratch.write('stick', stick.files);
  scratch.write('kept', stick.season.files);
  // the machines are known from the year before; the rest comes with the stick
  const { machines, format, units } = scratch.sheet('kept');
  const sheet = { format, name: 'From a stick', units, machines, fields: [], logs: [] };
  season = scratch.write('imported', [['season.json', JSON.stringify(sheet, null, 2)]]);
});

afterAll(() => scratch.remove());

describe('forty files from a stick', () => {
  it('are taken in by one command', async () => {
    expect(stick.files.size).toBe(40);
    const { code, out, err } = await command('import', season, files, '--json');
    expect({ code, err }).toEqual({ code: 0, err: '' });
    report = JSON.parse(out);
    const outcomes = new Map(
      report.files.map((file) => [file.source_name.replace(/^stick\//, ''), file.outcome]),
    );
    expect(outcomes.size).toBe(40);
    for (const name of stick.twice) expect([name, outcomes.get(name)]).toEqual([name, 'already_there']);
    for (const name of stick.useless) expect([name, outcomes.get(name)]).toEqual([name, 'refused']);
    const taken = 40 - stick.twice.length - stick.useless.length;
    expect(report.files.filter(({ outcome }) => outcome === 'imported')).toHaveLength(taken);
    // nothing that a person has to answer before a build
    expect(report.questions).toEqual([]);
  });

  it('each go to the machine that wrote them', () => {
    for (const { source_name, machines, kind, outcome } of report.files) {
      if (outcome !== 'imported' || !['tick_log', 'nmea'].includes(kind)) continue;
      expect([source_name, machines]).toEqual([
        source_name,
        [source_name.includes('ombine 1') ? 'c1' : 'c2'],
      ]);
    }
  });

  it('build to the same totals as the season that was kept well', async () => {
    const [ours, theirs] = [await totals(season), await totals(scratch.path('kept'))];
    const kept = theirs.fields;
    expect(ours.fields.map(({ name }) => name)).toEqual(expect.arrayContaining(kept.map(({ name }) => name)));
    for (const field of kept) {
      const same = ours.fields.find(({ name }) => name === field.name);
      expect(same?.crop).toBe(field.crop === 'soybeans' ? 'soybean' : field.crop);
      for (const key of ['area_ha', 'mass_wet_kg', 'mass_std_kg', 'mean_yield_t_ha'] as const) {
        expect(
          Math.abs((same?.[key] ?? Number.NaN) / (field[key] ?? Number.NaN) - 1),
          `${field.name} ${key}`,
        ).toBeLessThan(1e-4);
      }
    }
  });

  it('lie in the season byte for byte, and are on record', () => {
    const { files: records = [] } = scratch.sheet('imported');
    for (const { path, sha256, bytes } of records) {
      const content = readFileSync(join(season, path));
      expect(content.length).toBe(bytes);
      expect(createHash('sha256').update(content).digest('hex')).toBe(sha256);
    }
    const originals = new Set(
      [...stick.files.values()].map((bytes) => createHash('sha256').update(bytes).digest('hex')),
    );
    const copies = records.filter(
      ({ source_name }) => !source_name.endsWith('.geojson') || source_name.includes('corn'),
    );
    expect(copies.length).toBeGreaterThan(15);
    for (const { sha256 } of copies) expect(originals).toContain(sha256);
  });

  it('are known when they come again, and nothing changes', async () => {
    const before = readFileSync(join(season, 'season.json'), 'utf8');
    const names = readdirSync(join(season, 'logs'));
    const { code, out } = await command('import', season, files, '--json');
    expect(code).toBe(0);
    const again: ImportReport = JSON.parse(out);
    expect(again.files.filter(({ outcome }) => outcome === 'imported')).toEqual([]);
    expect(readFileSync(join(season, 'season.json'), 'utf8')).toBe(before);
    expect(readdirSync(join(season, 'logs'))).toEqual(names);
  });

  it('say in plain words what came of each', async () => {
    const { out } = await command('import', scratch.path('other'), files, '--dry-run');
    expect(out).toMatch(/^40 files looked into: 2\d would be taken in, /);
    expect(out).toContain('damaged: ');
    expect(out).toContain('sentences with a wrong checksum (first on line ');
    expect(out).toContain('looks like a photo (JPEG)');
    expect(existsSync(scratch.path('other'))).toBe(false);
  });
});
