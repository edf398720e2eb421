import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { TOP } from '../structure/source-files.ts';
import { COMMAND, command, SAMPLE, SpoiledSeason } from './spoiled-season.ts';

const season = new SpoiledSeason();

describe('sheaflight: help and mistakes on the command line', () => {
  it('explains itself, and each command', () => {
    expect(command(['--help'])).toMatchObject({
      code: 0,
      err: '',
      out: expect.stringContaining('build [options] <season-folder>'),
    });
    expect(command(['build', '--help'])).toMatchObject({
      code: 0,
      err: '',
      out: expect.stringContaining('--all-points'),
    });
    expect(command(['check', '--help'])).toMatchObject({
      code: 0,
      err: '',
      out: expect.stringContaining('without writing'),
    });
    expect(command(['--version']).out).toBe(
      `${JSON.parse(readFileSync(join(TOP, 'package.json'), 'utf8')).version}\n`,
    );
  });

  it('names the nearest option or command to a mistyped one', () => {
    expect(command(['build', season.folder, '--al-points'])).toEqual({
      code: 2,
      out: '',
      err: `sheaflight: unknown option '--al-points' (Did you mean --all-points?); --help shows all.\n`,
    });
    expect(command(['biuld', season.folder])).toEqual({
      code: 2,
      out: '',
      err: `sheaflight: unknown command 'biuld' (Did you mean build?); --help shows all.\n`,
    });
    expect(existsSync(season.path('out'))).toBe(false);
  });

  it('says what is missing', () => {
    expect(command(['build'])).toMatchObject({
      code: 2,
      err: expect.stringContaining(`missing required argument 'season-folder'`),
    });
    expect(command(['build', season.folder, '--out'])).toMatchObject({
      code: 2,
      err: expect.stringContaining(`argument missing`),
    });
    expect(command([])).toMatchObject({ code: 2, err: expect.stringContaining('Usage: sheaflight') });
  });

  it('says how to build when nothing is built', () => {
    const bare = join(season.scratch, 'bare');
    mkdirSync(join(bare, 'electron/command'), { recursive: true });
    cpSync(COMMAND, join(bare, 'electron/command/sheaflight.mjs'));
    const ran = spawnSync(process.execPath, [join(bare, 'electron/command/sheaflight.mjs'), '--help'], {
      encoding: 'utf8',
    });
    expect(ran.status).toBe(2);
    expect(ran.stderr).toBe(
      'sheaflight is not built yet: run "npm run build" in its folder, then try again.\n',
    );
  });
});

describe('sheaflight build', () => {
  /** Three builds of the untouched sample, each elsewhere in the world, each with other options. */
  let auckland: ReturnType<typeof command>;
  let newYork: ReturnType<typeof command>;
  let cairo: ReturnType<typeof command>;
  const inFolder = (name: string, file: string) => readFileSync(join(season.scratch, name, file));

  beforeAll(() => {
    const build = (out: string, options: readonly string[], place: Record<string, string>) =>
      command(['build', SAMPLE, '--out', join(season.scratch, out), ...options], place);
    auckland = build('auckland', [], { TZ: 'Pacific/Auckland', LANG: 'de_DE.UTF-8', LC_ALL: 'de_DE.UTF-8' });
    newYork = build('new-york', ['--quiet'], {
      TZ: 'America/New_York',
      LANG: 'en_US.UTF-8',
      LC_ALL: 'en_US.UTF-8',
    });
    cairo = build('cairo', ['--json', '--all-points', '--each-field'], {
      TZ: 'Africa/Cairo',
      LANG: 'ar_EG.UTF-8',
      LC_ALL: 'ar_EG.UTF-8',
    });
  });

  it('writes points, summary and report, prints totals and files, and nothing on stderr', () => {
    expect(auckland).toMatchObject({ code: 0, err: '' });
    const names = readdirSync(join(season.scratch, 'auckland'));
    expect(names.sort()).toEqual(['loads.html', 'points.geojson', 'report.html', 'summary.json']);
    for (const name of names) expect(auckland.out).toContain(`${join(season.scratch, 'auckland', name)}\n`);
    expect(auckland.out).toContain('Estimate only. Not a legal-for-trade weight.');
    const summary = JSON.parse(inFolder('auckland', 'summary.json').toString());
    const points = JSON.parse(inFolder('auckland', 'points.geojson').toString());
    expect(points.features).toHaveLength(pointsOf(summary, 'kept'));
    expect(pointsOf(summary, 'kept')).toBeGreaterThan(100);
  });

  it('is the same bytes in any time zone and language', () => {
    for (const file of ['points.geojson', 'summary.json', 'report.html']) {
      expect(inFolder('new-york', file).equals(inFolder('auckland', file))).toBe(true);
    }
    expect(inFolder('cairo', 'summary.json').equals(inFolder('auckland', 'summary.json'))).toBe(true);
    expect(inFolder('cairo', 'report.html').equals(inFolder('auckland', 'report.html'))).toBe(true);
  });

  it('prints nothing with --quiet, summary.json and nothing else with --json', () => {
    expect(newYork).toEqual({ code: 0, out: '', err: '' });
    expect(cairo).toEqual({ code: 0, out: inFolder('cairo', 'summary.json').toString(), err: '' });
  });

  it('closes the mass ledger to 1e-9', () => {
    const ledger = JSON.parse(cairo.out).mass_ledger;
    expect(ledger.length).toBeGreaterThan(0);
    for (const row of ledger) {
      const screened = Object.values<number>(row.screened_kg).reduce((sum, mass_kg) => sum + mass_kg, 0);
      const gone = row.mapped_kg + screened + row.outside_field_kg + row.not_cutting_kg;
      expect(Math.abs(gone - row.beam_kg)).toBeLessThan(1e-9 * row.beam_kg);
    }
  });

  it('adds the screened points with --all-points, each with its rule', () => {
    const { features } = JSON.parse(inFolder('cairo', 'points.geojson').toString());
    expect(features).toHaveLength(pointsOf(JSON.parse(cairo.out), 'total'));
    const rules = features.map(
      ({ properties }: { properties: { kept: boolean; screened_by: string | null } }) =>
        properties.kept ? properties.screened_by : (properties.screened_by ?? 'no reason'),
    );
    expect(new Set(rules)).toContain(null);
    expect(new Set(rules)).toContain('ramp');
    expect(new Set(rules)).not.toContain('no reason');
  });

  it('writes a folder for each field with --each-field: together they hold what the one file holds', () => {
    const folders = readdirSync(join(season.scratch, 'cairo', 'fields')).sort();
    expect(folders).toEqual(['brickyard', 'three-oaks']);
    const apart = folders.map(
      (name) => JSON.parse(inFolder('cairo', `fields/${name}/${name}-points.geojson`).toString()).features,
    );
    expect(apart.flat()).toEqual(JSON.parse(inFolder('cairo', 'points.geojson').toString()).features);
  });

  it('writes into out/ of the season folder when no other is named, and changes nothing else there', () => {
    const before = readdirSync(season.folder, { recursive: true }).sort();
    const text = season.sheet;
    expect(command(['build', season.folder, '--quiet'])).toEqual({ code: 0, out: '', err: '' });
    expect(readdirSync(season.path('out')).sort()).toEqual([
      'loads.html',
      'points.geojson',
      'report.html',
      'summary.json',
    ]);
    rmSync(season.path('out'), { recursive: true });
    expect(readdirSync(season.folder, { recursive: true }).sort()).toEqual(before);
    expect(season.sheet).toBe(text);
  });
});

function pointsOf(
  summary: { fields: { points: { kept: number; total: number } }[] },
  which: 'kept' | 'total',
): number {
  return summary.fields.reduce((sum, field) => sum + field.points[which], 0);
}

describe('sheaflight check', () => {
  it('lists the files and what is odd, and writes nothing', () => {
    const ran = command(['check', season.folder]);
    expect(ran).toMatchObject({ code: 0, err: '' });
    for (const log of JSON.parse(season.sheet).logs[0].files)
      expect(ran.out).toMatch(new RegExp(`^${log}: \\d+ lines`, 'm'));
    expect(existsSync(season.path('out'))).toBe(false);
  });

  it('lists every fault of the sheet', () => {
    season.spoil((parsed) => {
      parsed.machines[0].paddle.pitch_mm = 8;
      parsed.logs[0].files[0] = '../a.log';
    });
    const ran = command(['check', season.folder]);
    expect(ran.code).toBe(2);
    expect(ran.err).toContain('paddle.pitch_mm is 8');
    expect(ran.out).toMatch(/^X season\.json, line \d+: logs\[0\]\.files\[0\] is the text "\.\.\/a\.log"/);
  });

  it('is content with a sheet that has no logs yet', () => {
    season.spoil((parsed) => {
      parsed.logs = [];
    });
    expect(command(['check', season.folder])).toMatchObject({
      code: 0,
      out: expect.stringContaining('is sound; it lists no logs yet.'),
    });
  });
});
