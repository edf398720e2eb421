import { mkdirSync, mkdtempSync, realpathSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { findSeasons, outFolders } from '../../../../electron/host/build-all/season-search.ts';

let home = '';
beforeEach(() => {
  home = realpathSync(mkdtempSync(join(tmpdir(), 'sheaflight-search-')));
});
afterEach(() => rmSync(home, { recursive: true }));

function put(...paths: readonly string[]): void {
  for (const path of paths) {
    mkdirSync(dirname(join(home, path)), { recursive: true });
    writeFileSync(join(home, path), '{}');
  }
}

async function found(except?: string) {
  const search = await findSeasons(home, except);
  if (!search.ok) return search.error.code;
  return { seasons: search.value.seasons.map(({ name }) => name), passed: search.value.passed };
}

describe('looking for seasons', () => {
  it('finds them in a folder and in the folders in it, by name, and names what holds none', async () => {
    put(
      'b/season.json',
      'a/season.json',
      '2026/c/season.json',
      '2026/maps/one.tif',
      '2026/d/season.json.previous',
    );
    put('photos/field.jpg', '.hidden/season.json', 'deep/er/still/season.json', 'file.txt');
    expect(await found()).toEqual({
      seasons: ['2026/c', '2026/d', 'a', 'b'],
      passed: ['2026/maps', 'deep', 'photos'],
    });
  });

  it('takes a season behind two names once, does not look where results go, and stands a link in a circle', async () => {
    put('a/season.json', 'results/a/season.json', '2026/c/season.json');
    symlinkSync(join(home, 'a'), join(home, 'z'));
    symlinkSync(home, join(home, '2026/round'));
    symlinkSync(join(home, 'gone'), join(home, 'dangling'));
    expect(await found(join(home, 'results'))).toEqual({ seasons: ['2026/c', 'a'], passed: ['2026/round'] });
    expect(await found(home)).toBe('out_is_home');
  });

  it('takes one season for itself, and says where there is none', async () => {
    expect(await found()).toBe('no_seasons');
    put('season.json');
    expect(await found()).toEqual({ seasons: [basename(home)], passed: [] });
    expect(await findSeasons(join(home, 'nowhere'))).toMatchObject({ error: { code: 'no_such_folder' } });
  });
});

describe('where results go', () => {
  it('is the out of each season, or a folder of its name that every system takes and no two share', () => {
    const seasons = ['2025/alder', '2026/alder', 'Alder', 'alder', 'a:b', 'a-b', 'con', '...'].map(
      (name) => ({
        name,
        folder: join('/home', name),
      }),
    );
    expect(outFolders(seasons)[0]).toBe('/home/2025/alder/out');
    expect(outFolders(seasons, '/r')).toEqual(
      ['2025/alder', '2026/alder', 'Alder', 'alder-2', 'a-b', 'a-b-2', '_con', 'season'].map(
        (name) => `/r/${name}`,
      ),
    );
  });
});
