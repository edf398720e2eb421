import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  symlinkSync,
  truncateSync,
  unlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { asyncBufferFromFile, parquetReadObjects } from 'hyparquet';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { CacheFolder } from '../../../../electron/host/cache/cache-folder.ts';
import { SeasonCache } from '../../../../electron/host/cache/season-cache.ts';
import { diskLayer, type FileLayer } from '../../../../electron/host/file-layer.ts';
import { outputFiles } from '../../../../electron/host/output-files.ts';
import { runSeason, type SeasonRun } from '../../../../electron/host/run-season.ts';
import { plain, simulate } from '../../../synthetic/index.ts';
import { Random } from '../../../synthetic/random.ts';
import { almostFullDisk, failingDisk } from '../spoiled-disk.ts';

let scratch: string;
/** A season that was built with a cache, and what came of it without one. */
let built: string;
let uncached: string;
/** A copy of it for each test. */
let folder: string;

beforeAll(async () => {
  scratch = realpathSync(mkdtempSync(join(tmpdir(), 'sheaflight-cache-')));
  built = join(scratch, 'built');
  for (const [path, bytes] of simulate(plain(1)).files) {
    mkdirSync(dirname(join(built, path)), { recursive: true });
    writeFileSync(join(built, path), bytes);
    // as if it had lain there for a minute: younger times are not trusted
    const then_s = Date.now() / 1000 - 60;
    utimesSync(join(built, path), then_s, then_s);
  }
  uncached = outputs((await ran(built, undefined)).run);
  await ran(built, new SeasonCache(built));
}, 60_000);

afterAll(() => rmSync(scratch, { recursive: true }));

beforeEach(() => {
  folder = mkdtempSync(join(scratch, 'copy-'));
  cpSync(built, folder, { recursive: true });
});

const files = () => readdirSync(join(folder, 'cache', 'columns')).sort();
const at = (name: string) => join(folder, 'cache', 'columns', name);

function outputs(run: SeasonRun): string {
  return outputFiles(run, 'all')
    .flatMap(({ pieces }) => [...pieces])
    .join('');
}

/** Runs the chain, saves the cache, and tells the steps that were made. */
async function ran(of: string, cache: SeasonCache | undefined) {
  const steps: string[] = [];
  const onStep = (step: string) => steps.push(step);
  const run = await runSeason(
    of,
    () => undefined,
    () => ({ cache, onStep }),
  );
  if (!run.ok) throw new Error(run.error.text);
  return { run: run.value, steps, told: await cache?.save() };
}

const again = (layer?: FileLayer) => ran(folder, new SeasonCache(folder, layer));

describe('the cache of a season', () => {
  it('gives the result again, byte for byte, without a step', async () => {
    const { run, steps } = await again();
    expect(steps).toEqual([]);
    expect(run.isFromCache).toBe(true);
    expect(outputs(run)).toBe(uncached);
  });

  it('can be read by others, column by column', async () => {
    const points = files().find((name) => name.endsWith('.points.parquet')) ?? '';
    const file = await asyncBufferFromFile(join(folder, 'cache', 'columns', points));
    const rows = await parquetReadObjects({ file, columns: ['yield_kg_m2'] });
    const { run } = await ran(folder, undefined);
    expect(rows.map((row) => row.yield_kg_m2)).toEqual([...run.result.points[0].yield_kg_m2]);
  });

  it('can be away, also while it is used', async () => {
    rmSync(join(folder, 'cache'), { recursive: true });
    const { run, steps, told } = await again();
    expect(steps).toContain('records');
    expect([outputs(run), told]).toEqual([uncached, undefined]);
    const cache = new SeasonCache(folder);
    await runSeason(
      folder,
      () => rmSync(join(folder, 'cache'), { recursive: true, force: true }),
      () => ({
        cache,
      }),
    );
    expect(await cache.save()).toBeUndefined();
    expect(outputs((await again()).run)).toBe(uncached);
  });

  it('is of no use for another sheet or another file, but logs that are as they were are not read again', async () => {
    const before = files();
    const sheet = JSON.parse(readFileSync(join(folder, 'season.json'), 'utf8'));
    const path = sheet.logs[0].files[0];
    writeFileSync(
      join(folder, 'season.json'),
      JSON.stringify({ ...sheet, settings: { screening: { slow: { speed_min_m_s: 1.5 } } } }),
    );
    const cache = new SeasonCache(folder);
    const { run } = await ran(folder, cache);
    expect(outputs(run)).toBe(outputs((await ran(folder, undefined)).run));
    const logs = (names: string[]) => names.filter((name) => name.startsWith('log-'));
    expect(logs(files())).toEqual(logs(before));
    // the result before is gone
    expect(files().filter((name) => /^result-.*json/.test(name)).length).toBe(1);
    expect(files()).not.toEqual(before);

    const log = readFileSync(join(folder, path));
    writeFileSync(join(folder, path), log.subarray(0, log.lastIndexOf('\n', log.length / 2) + 1));
    const shorter = await again();
    expect(outputs(shorter.run)).toBe(outputs((await ran(folder, undefined)).run));
    expect(logs(files()).some((name) => logs(before).includes(name))).toBe(false);
  });

  const read = (entry: string) => new CacheFolder(folder, diskLayer).read(entry, keyOf(entry));
  const keyOf = (entry: string): string =>
    JSON.parse(readFileSync(join(built, 'cache', 'columns', `${entry}.json`), 'utf8')).index.key;
  const entryOf = (file: string) => file.slice(0, file.indexOf('.'));

  it('is never believed when a bit of it is other than it was written', async () => {
    for (const name of files()) expect(await read(entryOf(name))).toBeDefined();
    const draw = new Random(20_261_003, 'flips');
    for (let k = 0; k < 100; k++) {
      const name = files()[draw.integer(files().length)];
      const written = readFileSync(at(name));
      const spoilt = Buffer.from(written);
      spoilt[draw.integer(spoilt.length)] ^= 1 << draw.integer(8);
      writeFileSync(at(name), spoilt);
      expect(await read(entryOf(name))).toBeUndefined();
      writeFileSync(at(name), written);
    }
  });

  it('is never believed when a file of it is cut off, empty, of another entry, or missing', async () => {
    for (const name of files()) {
      const written = readFileSync(at(name));
      for (const spoil of [
        () => truncateSync(at(name), written.length - 1),
        () => truncateSync(at(name), 0),
        () => unlinkSync(at(name)),
        () => writeFileSync(at(name), readFileSync(at(files()[name === files()[0] ? 1 : 0]))),
      ]) {
        spoil();
        expect(await read(entryOf(name))).toBeUndefined();
        writeFileSync(at(name), written);
      }
    }
  });

  it('never changes a result, whatever is wrong with it', async () => {
    // files that were written just now are not told by their times
    await setTimeout(2100);
    await again();
    for (const kind of [
      /^result-.*points/,
      /^result-.*json/,
      /^log-.*step_us/,
      /^log-.*json/,
      /^file-hashes/,
    ]) {
      const name = files().find((file) => kind.test(file)) ?? '';
      const spoilt = readFileSync(at(name));
      spoilt[Math.floor(spoilt.length / 2)] ^= 4;
      writeFileSync(at(name), spoilt);
      // the logs are looked at only where there is no result
      if (name.startsWith('log-')) for (const file of files()) if (/^result/.test(file)) unlinkSync(at(file));
      const { run } = await again();
      expect(outputs(run)).toBe(uncached);
    }
    expect((await again()).steps).toEqual([]);
  }, 30_000);

  it('says once when the disk refuses it, and the result is the same', async () => {
    rmSync(join(folder, 'cache'), { recursive: true });
    for (const disk of [
      failingDisk('makeFolder', 'EROFS'),
      almostFullDisk(100_000),
      failingDisk('rename', 'EIO'),
    ]) {
      const cache = new SeasonCache(folder, disk);
      const { run, told } = await ran(folder, cache);
      expect(outputs(run)).toBe(uncached);
      expect(told).toMatchObject({ code: 'cache_not_kept', severity: 'info' });
      cache.rememberResult({ sheet: 'another', early: [], hashes: new Map() }, run);
      expect(await cache.save()).toBeUndefined();
    }
    expect(files().filter((name) => name.endsWith('.part'))).toEqual([]);
    expect(outputs((await again()).run)).toBe(uncached);
  });

  it('is not written to where it is a link to somewhere else', async () => {
    const elsewhere = mkdtempSync(join(scratch, 'elsewhere-'));
    rmSync(join(folder, 'cache'), { recursive: true });
    symlinkSync(elsewhere, join(folder, 'cache'));
    mkdirSync(join(elsewhere, 'columns'));
    expect((await again()).told).toMatchObject({ code: 'cache_not_kept' });
    expect(readdirSync(join(elsewhere, 'columns'))).toEqual([]);
  });
});
