import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { rowsOf, SeasonLibrary } from './season-library.ts';

const library = new SeasonLibrary(['alder', '2025/alder']);

describe('sheaflight build --all', () => {
  it('builds every season with the bytes of each built alone, and names what failed and what is no season', async () => {
    library.add('crooked');
    library.change('crooked', 'season.json', (text) => text.replace('"corn"', '"korn"'));
    library.add('bare');
    rmSync(join(library.home, 'bare/logs/flow.csv'));
    mkdirSync(join(library.home, 'photos'));
    mkdirSync(join(library.home, '2025/maps'));
    writeFileSync(join(library.home, 'notes.txt'), 'buy seed');
    const { code, out, err } = await library.buildAll('--jobs', '2', '--all-points', '--each-field');
    expect(code).toBe(1);
    const lines = out.split('\n');
    expect(lines[0]).toMatch(/^season {6}crop {2}fields .* seconds {2}state$/);
    expect(lines.slice(1, 5).map((line) => line.replace(/ .* (?=built|failed)/, ' '))).toEqual([
      '2025/alder built',
      'alder built',
      expect.stringMatching(/^bare failed: logs\/flow\.csv is not in the season folder; /),
      expect.stringMatching(/^crooked failed: season\.json, line \d+: .*korn/),
    ]);
    expect(lines[6]).toMatch(/^4 seasons: 2 built, 2 failed; \d+\.\d s$/);
    expect(lines[7]).toBe('Estimate only. Not a legal-for-trade weight. Settle on certified scale tickets.');
    expect(err.split('\n').sort()).toEqual([
      '',
      'sheaflight: 2025/maps is passed over: no season.json is in it.',
      expect.stringMatching(/^sheaflight: bare: logs\/flow\.csv is not in the season folder; /),
      expect.stringMatching(/^sheaflight: crooked: season\.json, line /),
      'sheaflight: photos is passed over: no season.json is in it.',
    ]);
    expect(existsSync(join(library.home, 'bare/out'))).toBe(false);

    const alone = library.beside('alone');
    const season = join(library.home, '2025/alder');
    await library.run('build', season, '--out', alone, '--all-points', '--each-field', '--no-cache');
    const expected = library.outputs(alone);
    expect(Object.keys(expected)).toContain('/fields/home/home-points.geojson');
    expect(library.outputs(join(season, 'out'))).toEqual(expected);
  });

  it('leaves what is unchanged, and builds what is new, changed, spoiled or asked for with other options', async () => {
    const older = join(library.home, '2025/alder');
    expect(await library.states()).toEqual(['2025/alder: built', 'alder: built']);
    const record = readFileSync(join(library.home, 'alder/out/built.json'), 'utf8');
    // also without what the cache knows of the files
    rmSync(join(older, 'cache'), { recursive: true });
    expect(await library.states()).toEqual(['2025/alder: unchanged', 'alder: unchanged']);

    library.change('2025/alder', 'logs/flow.csv', (text) => text.replace('14.', '13.'));
    library.add('birch');
    expect(await library.states()).toEqual(['2025/alder: built', 'alder: unchanged', 'birch: built']);
    writeFileSync(join(older, 'out/loads.html'), 'half a pa');
    library.change('alder', 'season.json', (text) => text.replace('"width_m": 9', '"width_m": 8'));
    expect(await library.states()).toEqual(['2025/alder: built', 'alder: built', 'birch: unchanged']);
    library.change('alder', 'season.json', (text) => text.replace('"width_m": 8', '"width_m": 9'));
    expect(await library.states()).toEqual(['2025/alder: unchanged', 'alder: built', 'birch: unchanged']);
    expect(readFileSync(join(library.home, 'alder/out/built.json'), 'utf8')).toBe(record);
  });

  it('takes one season too, knows its options apart, and builds again what it is told to', async () => {
    const one = async (...options: string[]) => {
      const { out } = await library.run('build', '--all', join(library.home, 'alder'), '--json', ...options);
      return rowsOf(out).map(({ name, state }) => `${name}: ${state}`);
    };
    expect(await one('--all-points')).toEqual(['alder: built']);
    expect(await one('--all-points', '--no-cache')).toEqual(['alder: unchanged']);
    expect(await one()).toEqual(['alder: built']);
    expect(await one('--again')).toEqual(['alder: built']);
  });

  it('parts the results by season in another folder, which is not looked into, and exports as "export" does', async () => {
    const out = join(library.home, 'results');
    symlinkSync(join(library.home, 'alder'), join(library.home, 'zelkova'));
    const formats = ['--as', 'geoparquet,csv', '--layers', 'points,swaths'];
    expect(await library.states('--out', out, ...formats)).toEqual(['2025/alder: built', 'alder: built']);
    expect(readdirSync(out).sort()).toEqual(['2025', 'alder']);
    expect(existsSync(join(library.home, 'alder/out'))).toBe(false);
    expect((await library.buildAll('--out', out, ...formats)).err).toBe('');
    const alone = library.beside('alone');
    await library.run('export', join(library.home, 'alder'), ...formats, '--out', alone);
    const exported = library.outputs(join(out, 'alder/export'));
    expect(Object.keys(exported)).toContain('/points/crop=corn/field=Home/part-0.parquet');
    expect(exported).toEqual(library.outputs(alone));
  });

  it('says what is wrong with the command line, and builds nothing', async () => {
    const refused = async (...args: string[]) => {
      const { code, out, err } = await library.run('build', ...args);
      expect({ code, out, lines: err.split('\n').length }).toEqual({ code: 2, out: '', lines: 2 });
      return err;
    };
    const { home } = library;
    expect(await refused('--all', home, '--jbos', '2')).toContain('Did you mean --jobs?');
    for (const jobs of ['0', '-1', 'two', '1.5'])
      expect(await refused('--all', home, `--jobs=${jobs}`)).toContain('Give a whole number from 1');
    expect(await refused(home, '--jobs', '2')).toBe(
      'sheaflight: --jobs goes with --all, which builds every season in a folder.\n',
    );
    expect(await refused('--all', home, '--as', 'geopakage')).toContain('Did you mean geopackage?');
    expect(await refused('--all', home, '--layers', 'points')).toContain('give --as too');
    expect(await refused('--all', home, '--units', 'si')).toContain('us, metric');
    expect(await refused('--all', `${home}e`)).toBe(
      `sheaflight: there is no folder ${home}e; did you mean ${home}?\n`,
    );
    expect(await refused('--all', join(home, 'alder/logs'))).toContain('there is no season in');
    expect(await refused('--all', home, '--out', home)).toContain('give another folder');
    expect(existsSync(join(home, 'alder/out'))).toBe(false);
  });

  it('ends with 2 where nothing could be built, and with 1 where a season has nothing usable', async () => {
    for (const name of ['alder', '2025/alder'])
      library.change(name, 'season.json', (text) => text.replace('"corn"', '"korn"'));
    expect(await library.buildAll('--quiet')).toMatchObject({ code: 2, out: '' });
    // it was driven at 2 m/s
    const settings = '"settings": { "screening": { "slow": { "speed_min_m_s": 2.9 } } }';
    library.change('alder', 'season.json', (text) =>
      text.replace('"korn"', '"corn"').replace('"units"', `${settings}, "units"`),
    );
    const { code, out } = await library.run('build', '--all', join(library.home, 'alder'));
    expect(out).toMatch(/^alder .* 0\.0 % .* built$/m);
    expect(code).toBe(1);
  });
});
