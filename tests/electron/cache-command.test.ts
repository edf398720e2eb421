import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { smallSeason } from './host/small-season.ts';
import { command, SpoiledSeason } from './spoiled-season.ts';

const season = new SpoiledSeason();

/** What `build` writes, byte for byte, and what it says. */
function build(...options: readonly string[]): { files: Record<string, string>; err: string } {
  rmSync(season.path('out'), { recursive: true, force: true });
  const { code, err } = command(['build', season.folder, '--quiet', ...options]);
  expect(code).toBe(0);
  const names = readdirSync(season.path('out')).sort();
  const read = (name: string) => readFileSync(season.path(`out/${name}`), 'utf8');
  return { files: Object.fromEntries(names.map((name) => [name, read(name)])), err };
}

describe('sheaflight build and the cache of a season', () => {
  it('writes the same bytes without a cache, with a new one, from it, and after it was deleted or cannot be', () => {
    rmSync(season.folder, { recursive: true });
    smallSeason(season.folder);
    const without = build('--no-cache');
    expect(existsSync(season.path('cache'))).toBe(false);
    expect(build()).toEqual(without);
    expect(readdirSync(season.path('cache/columns')).some((name) => name.endsWith('.points.parquet'))).toBe(
      true,
    );
    expect(build()).toEqual(without);

    rmSync(season.path('cache'), { recursive: true });
    mkdirSync(season.path('cache'));
    writeFileSync(season.path('cache/columns'), 'a file in the way');
    const refused = build();
    expect(refused.files).toEqual(without.files);
    expect(refused.err).toMatch(
      /^sheaflight: What was computed could not be kept in cache\/columns: .*\.\n$/,
    );
    expect(command(['build', '--help']).out).toContain('--no-cache');
  }, 30_000);
});
