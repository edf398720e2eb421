import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { FeatureCollection, Polygon } from 'geojson';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { runCommand } from './command-run.ts';
import { stripSeason } from './strip-season.ts';

let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sheaflight-seasons-'));
  stripSeason(join(folder, '2025'), {}, 2025);
  stripSeason(join(folder, '2026'), { fields: [{ name: 'North of the road', crop: 'corn' }] }, 2026);
});

afterEach(() => rmSync(folder, { recursive: true, force: true }));

const command = (...args: readonly string[]) => runCommand(['seasons', ...args]);

describe('sheaflight seasons', () => {
  it('puts two seasons of a field together, found by its ground where its name changed', async () => {
    const both = [join(folder, '2025'), join(folder, '2026')];
    const { code, out, err } = await command(...both, '--field', 'Home', '--out', join(folder, 'out'));
    expect([code, err]).toEqual([0, '']);
    // so that the next question about them need not read the logs
    for (const season of both) expect(existsSync(join(season, 'cache', 'columns'))).toBe(true);
    expect(out).toMatch(/Strips 2025: Home, corn, mean 9\.\d\d t\/ha \(found as named\)/);
    expect(out).toMatch(/Strips 2026: North of the road, .*found by its ground, \d+ % of the ground shared/);
    const cells: FeatureCollection<Polygon> = JSON.parse(
      readFileSync(join(folder, 'out', 'stability.geojson'), 'utf8'),
    );
    // both seasons have the same waves along the passes: nothing sways by 30 %
    expect(cells.features.length).toBeGreaterThan(500);
    const classes = new Set(cells.features.map(({ properties }) => properties?.class));
    expect(classes).toEqual(new Set(['high and stable', 'low and stable']));
    const made = JSON.parse(readFileSync(join(folder, 'out', 'stability.json'), 'utf8'));
    expect(made.seasons.map(({ matched_by }: { matched_by: string }) => matched_by)).toEqual([
      'given',
      'ground',
    ]);
    const rows = readFileSync(join(folder, 'out', 'stability.csv'), 'utf8')
      .trim()
      .split('\r\n');
    expect(rows).toHaveLength(cells.features.length + 1);
    expect(rows[0]).toBe(
      'longitude_deg,latitude_deg,class,mean_pct,cv_pct,seasons,season_1_pct,season_2_pct',
    );
    const tight = await command(
      ...both,
      '--field',
      'Home',
      '--out',
      join(folder, 'out'),
      '--unstable-cv',
      '1',
    );
    expect(tight.out).toMatch(/unstable: [1-9]/);
  });

  it('tells yields and ground in the units of the first season', async () => {
    stripSeason(join(folder, '2027'), { units: 'us' }, 2027);
    const us = await command(join(folder, '2027'), join(folder, '2025'), '--field', 'Home');
    expect(us.out).toMatch(/^Strips 2027: Home, corn, mean 1\d\d\.\d bu\/ac .*\nStrips 2025: .* bu\/ac /);
    expect(us.out).toMatch(/high and stable: \d+ % of the ground, \d\.\d\d ac, mean/);
    expect(us.out).not.toMatch(/ t\/ha| ha\b/);
  });

  it('says what is missing', async () => {
    const one = await command(join(folder, '2025'), '--field', 'Home');
    expect(one).toMatchObject({ code: 2, err: expect.stringContaining('two seasons or more') });
    const both = [join(folder, '2025'), join(folder, '2026')];
    const away = await command(...both, '--field', 'Away');
    expect(away).toMatchObject({ code: 2, err: expect.stringContaining('"North of the road"') });
    const twice = await command(both[0], `${both[0]}/.`, '--field', 'Home');
    expect(twice).toMatchObject({ code: 2, err: expect.stringContaining('is given twice') });
    expect(await command(...both)).toMatchObject({ code: 2, err: expect.stringContaining('--field') });
  });
});
