import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { FeatureCollection } from 'geojson';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { FORMAT_NAMES } from '../../core/export/formats/format-list.ts';
import { runCommand } from './command-run.ts';
import { smallSeason } from './host/small-season.ts';

let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sheaflight-export-command-'));
  smallSeason(folder);
});

afterEach(() => rmSync(folder, { recursive: true, force: true }));

const command = (...args: readonly string[]) => runCommand(['export', folder, ...args]);

function written(name: string): FeatureCollection {
  return JSON.parse(readFileSync(join(folder, 'out/export', name), 'utf8'));
}

describe('sheaflight export', () => {
  it("writes kept points as GeoJSON in the season's units when nothing else is said, and lists the file", async () => {
    const { code, out, err } = await command();
    expect([code, err]).toEqual([0, '']);
    expect(out).toMatch(
      /^[\d,]+ bytes {2}.*small-points\.geojson\n1 file, [\d,]+ bytes, from \d+ features\nEstimate only\./,
    );
    const { features } = written('small-points.geojson');
    expect(features.length).toBeGreaterThan(100);
    expect(features.every(({ properties }) => properties?.kept === true)).toBe(true);
    expect(features[0].properties).toHaveProperty('yield_t_ha');
    expect(existsSync(join(folder, 'out', 'points.geojson'))).toBe(false);
  });

  it('writes what was asked for: formats, layers, a field, all points, units, files, folder', async () => {
    const target = join(folder, 'elsewhere');
    const args = ['--as', 'csv, geojson', '--layers', 'points,zones', '--field', 'Home', '--points', 'all'];
    const { code, out } = await command(...args, '--units', 'us', '--files', 'each', '--out', target);
    expect(code).toBe(0);
    const names = [...out.matchAll(/elsewhere[/\\](\S+)/g)].map(([, name]) => name);
    expect(names).toEqual([
      'home-points.csv',
      'home-zones.csv',
      'home-points.geojson',
      'home-zones.geojson',
      'small-about.txt',
    ]);
    const header = readFileSync(join(target, 'home-points.csv'), 'utf8').split('\r\n')[0];
    expect(header).toContain('yield_bu_ac');
    expect(header).not.toContain('yield_t_ha');
    const { features }: FeatureCollection = JSON.parse(
      readFileSync(join(target, 'home-points.geojson'), 'utf8'),
    );
    expect(new Set(features.map(({ properties }) => properties?.kept))).toEqual(new Set([true, false]));
  });

  it('names the nearest format, layer, option and field where one is mistyped, and writes nothing', async () => {
    for (const [args, said] of [
      [['--as', 'geojsn'], 'There is no format "geojsn". Did you mean geojson?'],
      [['--layers', 'cell'], 'There is no layer "cell". Did you mean cells?'],
      [['--layer', 'cells'], '(Did you mean --layers?)'],
      [['--field', 'Hom'], 'There is no field "Hom" with points; did you mean "Home"?'],
      [['--as', ','], `Name a format: ${FORMAT_NAMES.join(', ')}`],
      [['--as', 'geotiff'], 'holds cells'],
    ] as const) {
      const { code, out, err } = await command(...args);
      expect([code, out]).toEqual([2, '']);
      expect(err).toContain(said);
    }
    expect(existsSync(join(folder, 'out'))).toBe(false);
  });

  it('explains every format and layer in its help', async () => {
    const { code, out } = await command('--help');
    expect(code).toBe(0);
    for (const word of [
      ...FORMAT_NAMES,
      'points',
      'swaths',
      'cells',
      'zones',
      '--files',
      '--units',
      '--field',
    ])
      expect(out).toContain(word);
  });
});
