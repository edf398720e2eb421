import { describe, expect, it } from 'vitest';
import { type Import, type SourceFile, sourceFiles } from './source-files.ts';

/**
 * Libraries that the core may use: pure computation, no Node, no DOM, no clock, no randomness.
 * zod and momoa read season.json, the geodesy and statistics ones say what they are.
 */
const PURE_LIBRARIES = [
  '@humanwhocodes/momoa',
  'fastest-levenshtein',
  'fflate',
  'fft.js',
  'geographiclib-geodesic',
  'kdbush',
  'papaparse',
  'proj4',
  'simple-statistics',
  'zod',
];

const core = sourceFiles('core');
const electron = sourceFiles('electron');
const renderer = sourceFiles('renderer');
const tests = sourceFiles('tests');

/** `file → import` of every import that breaks a rule. */
function breaches(
  files: readonly SourceFile[],
  isAllowed: (found: Import, file: SourceFile) => boolean,
): string[] {
  return files.flatMap((file) =>
    file.imports.filter((found) => !isAllowed(found, file)).map((found) => `${file.path} → ${found.from}`),
  );
}

describe('who may import whom', () => {
  it('sees the imports at all', () => {
    expect(core.length).toBeGreaterThan(20);
    const seen = core
      .find((file) => file.path === 'core/season-file.ts')
      ?.imports.map((found) => found.path ?? found.from);
    expect(seen).toEqual(expect.arrayContaining(['core/errors.ts', 'core/season-schema.ts', 'zod']));
  });

  it('core imports core and pure libraries only', () => {
    const isAllowed = ({ from, path }: Import) =>
      path === undefined ? PURE_LIBRARIES.includes(from) : path.startsWith('core/');
    expect(breaches(core, isAllowed)).toEqual([]);
  });

  it('electron imports core, itself, Node and libraries; never the renderer or tests', () => {
    const isAllowed = ({ path }: Import) => path === undefined || /^(core|electron)\//.test(path);
    expect(breaches(electron, isAllowed)).toEqual([]);
  });

  it('renderer imports core, itself and libraries; never Node, the host or tests', () => {
    const isAllowed = ({ from, path }: Import) =>
      path === undefined ? !from.startsWith('node:') : /^(core|renderer)\//.test(path);
    expect(breaches(renderer, isAllowed)).toEqual([]);
  });

  it('nobody but tests imports tests', () => {
    const isAllowed = ({ path }: Import) => !path?.startsWith('tests/');
    expect(breaches([...core, ...electron, ...renderer], isAllowed)).toEqual([]);
    expect(tests.some((file) => file.imports.some((found) => found.path?.startsWith('tests/')))).toBe(true);
  });

  it('relative imports end in .ts and lead to a file that is there', () => {
    const all = [...core, ...electron, ...renderer, ...tests];
    const paths = new Set(all.map((file) => file.path));
    const isAllowed = ({ path }: Import) =>
      path === undefined || /\.(json|css)$/.test(path) || paths.has(path);
    expect(breaches(all, isAllowed)).toEqual([]);
  });
});

/**
 * Layers of the core, lowest first. A file uses what stands in lower layers; from its own layer's other parts and from
 * higher ones it takes types at most. The stages are layers in the order of the line, so that none can reach ahead.
 */
const LAYERS: readonly (readonly string[])[] = [
  [
    'units.ts',
    'base-map.ts',
    'columns.ts',
    'spread.ts',
    'errors.ts',
    'iso-time.ts',
    'nearest-word.ts',
    'json-text.ts',
    'column-wire.ts',
    'shown-text.ts',
    'gathered-notices.ts',
    'notice-limit.ts',
    'calibration-sheet.ts',
  ],
  ['calibration-result.ts', 'season.ts', 'result.ts', 'stats'],
  ['grain'],
  ['read'],
  ['signal'],
  ['track'],
  ['lag'],
  ['screen'],
  ['calibrate'],
  ['yield'],
  ['surface'],
  ['analysis'],
  ['install'],
  [
    'calibration-schema.ts',
    'surface-schema.ts',
    'comparison-schema.ts',
    'season-schema.ts',
    'season-checks.ts',
    'season-file.ts',
  ],
  ['import'],
  ['edits'],
  ['edits.ts'],
  ['pipeline.ts', 'memo.ts', 'pipeline'],
  ['export'],
  ['import-account.ts', 'file-state.ts', 'season-list.ts', 'host-contract.ts'],
];

function partOf(path: string): string {
  return path.split('/')[1];
}

function layerOf(path: string): number {
  return LAYERS.findIndex((layer) => layer.includes(partOf(path)));
}

describe('layers of the core', () => {
  it('every part of the core has its layer', () => {
    expect([
      ...new Set(core.filter((file) => layerOf(file.path) < 0).map((file) => partOf(file.path))),
    ]).toEqual([]);
  });

  it('imports go down; sideways and up go types only', () => {
    const isAllowed = (found: Import, file: SourceFile) =>
      found.path === undefined ||
      found.isTypeOnly ||
      partOf(found.path) === partOf(file.path) ||
      layerOf(found.path) < layerOf(file.path) ||
      (layerOf(found.path) === layerOf(file.path) && !isFolder(file.path));
    expect(breaches(core, isAllowed)).toEqual([]);
  });

  it('no two files import each other, at whatever distance', () => {
    expect(cycles([...core, ...electron, ...renderer])).toEqual([]);
  });
});

/** Whether the file stands in a folder of the core, not beside the folders. */
function isFolder(path: string): boolean {
  return path.split('/').length > 2;
}

/** Rings of run-time imports, each named by its files. */
function cycles(files: readonly SourceFile[]): string[] {
  const next = new Map(
    files.map((file) => [
      file.path,
      file.imports.flatMap(({ path, isTypeOnly }) => (path && !isTypeOnly ? [path] : [])),
    ]),
  );
  const done = new Set<string>();
  const found: string[] = [];
  const visit = (path: string, way: readonly string[]): void => {
    if (way.includes(path)) found.push([...way.slice(way.indexOf(path)), path].join(' → '));
    if (done.has(path) || way.includes(path)) return;
    for (const step of next.get(path) ?? []) visit(step, [...way, path]);
    done.add(path);
  };
  for (const file of files) visit(file.path, []);
  return found;
}
