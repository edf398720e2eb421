import { readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { sourceFiles, TOP } from './source-files.ts';

/** Made by npm and the build; never committed. */
const GENERATED = ['node_modules', 'dist', 'coverage'];
const TOP_LEVEL = [
  'DEVELOPERS.md',
  'LICENSE',
  'README.md',
  'biome.json',
  'core',
  'electron',
  'package-lock.json',
  'package.json',
  'renderer',
  'sample-data',
  'tests',
  'tsconfig.json',
  'vite.config.ts',
  'vitest.config.ts',
];
const MOST_LINES = 400;

describe('layout', () => {
  it('the top level holds exactly what it should', () => {
    const names = readdirSync(TOP).filter((name) => !name.startsWith('.') && !GENERATED.includes(name));
    expect(names.sort()).toEqual(TOP_LEVEL);
  });

  const files = ['core', 'electron', 'renderer', 'tests'].flatMap((folder) => sourceFiles(folder));

  it(`no file is longer than ${MOST_LINES} lines`, () => {
    const long = files.filter((file) => file.lines > MOST_LINES).map((file) => `${file.path}: ${file.lines}`);
    expect(long).toEqual([]);
  });

  it('files are named in kebab-case, and none is a bag of odds and ends', () => {
    const names = files.map((file) => file.path.split('/').at(-1) ?? '');
    const wrong = names.filter((name) => !/^[a-z0-9]+(-[a-z0-9]+)*(\.test|\.d)?\.(ts|tsx|mjs)$/.test(name));
    expect(wrong).toEqual([]);
    expect(names.filter((name) => /^(utils?|helpers?|common|misc)\./.test(name))).toEqual([]);
  });

  it('sample data is one season', () => {
    const seasons = readdirSync(`${TOP}/sample-data`, { withFileTypes: true }).filter((entry) =>
      entry.isDirectory(),
    );
    expect(seasons).toHaveLength(1);
  });
});
