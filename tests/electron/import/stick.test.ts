/** A stick of forty files into a season, by the command: the build gives what the well-kept season gives. */
import { createHash } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { ImportReport } from '../../../core/host-contract.ts';
import type { Season } from '../../../core/season.ts';
import { main } from '../../../electron/command/main.ts';
import { diskLayer } from '../../../electron/host/file-layer.ts';
import { runSeason } from '../../../electron/host/run-season.ts';
import { makeStick, type Stick } from './stick.ts';

let scratch: string;
let stick: Stick;
let imported: string;
let report: ImportReport;

function write(folder: string, files: ReadonlyMap<string, Uint8Array>): void {
  for (const [path, bytes] of files) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), bytes);
  }
}

async function command(...args: string[]) {
  let out = '';
  let err = '';
  const code = await main(args, {
    out: (piece) => {
      out += piece;
    },
    err: (piece) => {
      err += piece;
    },
    isTerminal: false,
    layer: diskLayer,
  });
  return { code, out, err };
}

function sheetOf(folder: string): Season {
  return JSON.parse(readFileSync(join(folder, 'season.json'), 'utf8'));
}

async function totals(folder: string) {
  const run = await runSeason(folder, () => undefined);
  if (!run.ok) throw new Error(run.error.text);
  return run.value.result.summary;
}

beforeAll(() => {
  scratch = mkdtempSync(join(tmpdir(), 'sheaflight-stick-'));
  stick = makeStick();
  write(join(scratch, 'stick'), stick.files);
  write(join(scratch, 'kept'), stick.season.files);
  // the machines are known from the year before; the rest comes with the stick
  imported = join(scratch, 'imported');
  mkdirSync(imported);
  const { machines, format, units } = sheetOf(join(scratch, 'kept'));
  const sheet = { format, name: 'From a stick', units, machines, fields: [], logs: [] };
  writeFileSync(join(imported, 'season.json'), JSON.stringify(sheet, null, 2));
});

afterAll(() => rmSync(scratch, { recursive: true, force: true }));

describe('forty files from a stick', () => {
  it('are taken in by one command', async () => {
    expect(stick.files.size).toBe(40);
    const { code, out, err } = await command('import', imported, join(scratch, 'stick'), '--json');
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
    const [ours, theirs] = [await totals(imported), await totals(join(scratch, 'kept'))];
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
    const { files = [] } = sheetOf(imported);
    for (const { path, sha256, bytes } of files) {
      const content = readFileSync(join(imported, path));
      expect(content.length).toBe(bytes);
      expect(createHash('sha256').update(content).digest('hex')).toBe(sha256);
    }
    const originals = new Set(
      [...stick.files.values()].map((bytes) => createHash('sha256').update(bytes).digest('hex')),
    );
    const copies = files.filter(
      ({ source_name }) => !source_name.endsWith('.geojson') || source_name.includes('corn'),
    );
    expect(copies.length).toBeGreaterThan(15);
    for (const { sha256 } of copies) expect(originals).toContain(sha256);
  });

  it('are known when they come again, and nothing changes', async () => {
    const before = readFileSync(join(imported, 'season.json'), 'utf8');
    const names = readdirSync(join(imported, 'logs'));
    const { code, out } = await command('import', imported, join(scratch, 'stick'), '--json');
    expect(code).toBe(0);
    const again: ImportReport = JSON.parse(out);
    expect(again.files.filter(({ outcome }) => outcome === 'imported')).toEqual([]);
    expect(readFileSync(join(imported, 'season.json'), 'utf8')).toBe(before);
    expect(readdirSync(join(imported, 'logs'))).toEqual(names);
  });

  it('say in plain words what came of each', async () => {
    const { out } = await command('import', join(scratch, 'other'), join(scratch, 'stick'), '--dry-run');
    expect(out).toMatch(/^40 files looked into: 2\d would be taken in, /);
    expect(out).toContain('damaged: ');
    expect(out).toContain('sentences with a wrong checksum (first on line ');
    expect(out).toContain('looks like a photo (JPEG)');
    expect(existsSync(join(scratch, 'other'))).toBe(false);
  });
});
