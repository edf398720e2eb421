import { createHash } from 'node:crypto';
import { existsSync, mkdtempSync, readdirSync, readFileSync, renameSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, relative } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { FORMAT_NAMES, FORMATS, type FormatName } from '../../../../core/export/formats/format-list.ts';
import { LAYER_KINDS, type LayerExportChoice } from '../../../../core/export/layers/layer-choice.ts';
import { loadFormat } from '../../../../electron/host/export/format-loaders.ts';
import { type ExportContext, writeLayers } from '../../../../electron/host/export/layer-export.ts';
import { surfaceOfField } from '../../../../electron/host/surface-threads.ts';
import { fewPoints } from '../../../core/export/layers/made-layers.ts';
import { makeResult, NOTICES, SEASON } from '../../../core/export/season-fixture.ts';
import { almostFullDisk } from '../spoiled-disk.ts';
import { gdal, NO_GDAL } from './gdal.ts';

const run = { season: SEASON, result: fewPoints(makeResult()), notices: NOTICES };
const built = await builtFormats();
let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sheaflight-export-'));
});

afterEach(() => rmSync(folder, { recursive: true, force: true }));

async function builtFormats(): Promise<FormatName[]> {
  const names: FormatName[] = [];
  for (const name of FORMAT_NAMES) if ((await loadFormat(name)) !== undefined) names.push(name);
  return names;
}

/** Pictures take a second each; their own tests draw them. */
const EVERYTHING: LayerExportChoice = {
  layers: LAYER_KINDS,
  formats: built.filter((name) => name !== 'png'),
  points: 'kept',
  units: 'us',
  files: 'together',
};

const context: ExportContext = {
  onProgress: () => undefined,
  surfaceOf: ({ result }, place) =>
    surfaceOfField({
      points: result.points[place],
      outline: [],
      sheet: { method: 'block_mean', cell_m: 12 },
    }),
};

function written(out: string, choice: Partial<LayerExportChoice>, other: Partial<ExportContext> = {}) {
  return writeLayers(join(folder, out), run, { ...EVERYTHING, ...choice }, { ...context, ...other });
}

/** Every file below a folder, with what is in it. */
function contents(out: string): Map<string, string> {
  const top = join(folder, out);
  if (!existsSync(top)) return new Map();
  const files = readdirSync(top, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile());
  return new Map(
    files
      .map((entry) => join(entry.parentPath, entry.name))
      .sort()
      .map((path) => [relative(top, path), createHash('sha256').update(readFileSync(path)).digest('hex')]),
  );
}

async function sentence(...args: Parameters<typeof written>): Promise<string> {
  const found = await written(...args);
  if (found.ok) throw new Error('written, although it should have been refused');
  expect(contents(args[0])).toEqual(new Map());
  return found.error.text;
}

describe('formats', () => {
  it('hold the layers that the list says', async () => {
    expect(built).toEqual(FORMAT_NAMES);
    for (const name of built)
      expect([name, (await loadFormat(name))?.kinds]).toEqual([name, FORMATS[name].kinds]);
  });
});

describe('exported layers', () => {
  it('are the same bytes every time, in every format, and tell how far they are', async () => {
    const stages: [string, number][] = [];
    const first = await written('a', {}, { onProgress: (stage, share) => stages.push([stage, share]) });
    expect(first.ok && first.value.features).toBeGreaterThan(500);
    expect((await written('b', {})).ok).toBe(true);
    expect(contents('a').size).toBeGreaterThan(20);
    expect(contents('b')).toEqual(contents('a'));
    expect(stages[0]).toEqual(['surface of Home', 0]);
    const shares = stages.map(([, share]) => share);
    expect(shares).toEqual(shares.toSorted((a, b) => a - b));
    expect(shares.at(-1)).toBeLessThanOrEqual(1);
  });

  it('tell what a data set still holds of an earlier export, unless fields are chosen', async () => {
    const choice = { formats: ['geoparquet'], layers: ['points'] } as const;
    expect((await written('set', choice)).notices).toEqual([]);
    const parts = join(folder, 'set/points/crop=corn');
    renameSync(join(parts, 'field=Home'), join(parts, 'field=Old%20home'));
    const [notice, ...more] = (await written('set', choice)).notices;
    expect(more).toEqual([]);
    expect(notice).toMatchObject({ code: 'other_partitions', source: 'points', count: 1 });
    expect(notice.text).toContain('points/crop=corn/field=Old%20home/part-0.parquet');
    expect((await written('set', { ...choice, fields: ['Home'] })).notices).toEqual([]);
  });

  it('stand together or by field, under names that every disk takes', async () => {
    await written('together', { formats: ['geojson', 'geotiff'], layers: ['points', 'cells'] });
    expect([...contents('together').keys()]).toEqual([
      'heron-bottom-sons-2026-cells-home.tif',
      'heron-bottom-sons-2026-cells-upper-ten.tif',
      'heron-bottom-sons-2026-cells.geojson',
      'heron-bottom-sons-2026-points.geojson',
    ]);
    await written('each', {
      formats: ['geojson', 'csv', 'geotiff'],
      layers: ['points', 'cells'],
      files: 'each',
    });
    expect([...contents('each').keys()]).toEqual([
      'heron-bottom-sons-2026-about.txt',
      'home-cells.csv',
      'home-cells.geojson',
      'home-cells.tif',
      'home-points.csv',
      'home-points.geojson',
      'upper-ten-cells.csv',
      'upper-ten-cells.geojson',
      'upper-ten-cells.tif',
      'upper-ten-points.csv',
      'upper-ten-points.geojson',
    ]);
  });

  it('have a text beside them where the format has no place for where they come from', async () => {
    await written('about', { formats: ['csv', 'geojson'], layers: ['points'] });
    const text = readFileSync(join(folder, 'about', 'heron-bottom-sons-2026-about.txt'), 'utf8');
    for (const said of [
      'Heron Bottom & <Sons> 2026: exported by sheaflight 0.1.0 as CSV.',
      'Home: yields at 15.5 % moisture.',
      'lupins, c1: not calibrated',
      'Not a legal-for-trade weight',
      `${'a'.repeat(64)}  logs/combine.log`,
      '"transport_s": 11.5',
      'yield_lb_ac          yld_lb_ac',
    ])
      expect(text).toContain(said);
    await written('inside', { formats: ['geojson'], layers: ['points'] });
    expect([...contents('inside').keys()]).toEqual(['heron-bottom-sons-2026-points.geojson']);
  });

  it('are of the chosen fields', async () => {
    await written('one', { formats: ['csv'], layers: ['points'], fields: ['Upper "Ten"'] });
    const lines = readFileSync(join(folder, 'one', 'heron-bottom-sons-2026-points.csv'), 'utf8').split(
      '\r\n',
    );
    expect(lines.length).toBeGreaterThan(50);
    expect(lines.slice(1, -1).every((line) => line.includes('"Upper ""Ten"""'))).toBe(true);
  });

  it('are refused in a sentence, with nothing written', async () => {
    expect(await sentence('x', { fields: ['Hone'] })).toBe(
      'There is no field "Hone" with points; did you mean "Home"?',
    );
    expect(await sentence('x', { fields: ['Far away'] })).toContain('there is "Home", "Upper "Ten""');
    expect(await sentence('x', { formats: ['geojson', 'geotiff'], layers: ['points'] })).toBe(
      'GeoTIFF, cloud-optimised holds cells; choose that layer too, or leave the format out.',
    );
    const none: Partial<ExportContext> = {
      surfaceOf: async () => ({
        ok: false,
        error: { code: 'few_points', source: 'Home', text: 'Too few points for a surface.' },
        notices: [],
      }),
    };
    expect(await sentence('x', { layers: ['zones'], formats: ['csv'] }, none)).toBe(
      'No field has a surface, so that there are no cells and no zones. Too few points for a surface.',
    );
  });

  it('leave out cells where no field has a surface, and are written all the same', async () => {
    const found = await written(
      'none',
      { layers: ['points', 'cells'], formats: ['csv', 'geojson'] },
      {
        surfaceOf: async () => ({
          ok: false,
          error: { code: 'few_points', source: 'x', text: 'Too few points.' },
          notices: [],
        }),
      },
    );
    expect(found.notices.map(({ text }) => text)).toEqual(['Too few points.', 'Too few points.']);
    expect([...contents('none').keys()].filter((name) => name.includes('cells'))).toEqual([]);
    expect([...contents('none').keys()]).toContain('heron-bottom-sons-2026-points.csv');
  });

  it('tell of a field without a surface, and leave it out of cells', async () => {
    const found = await written(
      'half',
      { layers: ['points', 'cells'], formats: ['csv'] },
      {
        surfaceOf: (given, place) =>
          place === 1
            ? Promise.resolve({
                ok: false,
                error: { code: 'few_points', source: 'x', text: 'Too few points.' },
                notices: [],
              })
            : context.surfaceOf(given, place),
      },
    );
    expect(found.notices).toMatchObject([{ code: 'few_points', severity: 'look', text: 'Too few points.' }]);
    const cells = readFileSync(join(folder, 'half', 'heron-bottom-sons-2026-cells.csv'), 'utf8');
    expect(cells).not.toContain('Upper');
    expect(cells).toContain('Home');
  });

  it('leave nothing half-written on a full disk or when stopped, and what was there as it was', async () => {
    expect((await written('out', { units: 'metric' })).ok).toBe(true);
    const before = contents('out');
    const full = await written('out', {}, { layer: almostFullDisk(400_000) });
    expect(full.ok ? '' : full.error.text).toContain('the disk is full');
    expect(contents('out')).toEqual(before);
    const stop = new AbortController();
    const stopped = await written(
      'out',
      {},
      {
        signal: stop.signal,
        onProgress: (stage) => {
          if (stage.includes('swaths')) stop.abort();
        },
      },
    );
    expect(stopped.ok ? '' : stopped.error.code).toBe('stopped');
    expect(contents('out')).toEqual(before);
  });

  it('open in GDAL, every file', async ({ skip }) => {
    if (gdal('ogrinfo', '--version') === undefined) return skip(NO_GDAL);
    await written('gdal', { formats: ['geojson', 'csv', 'shapefile', 'geopackage', 'kml', 'geotiff'] });
    const names = [...contents('gdal').keys()];
    const opened = names.filter((name) => /\.(geojson|csv|shp|gpkg|kml|kmz)$/.test(name));
    expect(opened.length).toBeGreaterThan(10);
    for (const name of opened)
      expect(gdal('ogrinfo', '-ro', '-so', '-al', join(folder, 'gdal', name))).toMatch(
        /Feature Count: [1-9]/,
      );
    for (const name of names.filter((one) => one.endsWith('.tif')))
      expect(gdal('gdalinfo', join(folder, 'gdal', name))).toContain('LAYOUT=COG');
  });
});
