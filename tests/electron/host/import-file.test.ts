import { createHash } from 'node:crypto';
import {
  appendFileSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { FileRecord } from '../../../core/season.ts';
import { diskLayer } from '../../../electron/host/file-layer.ts';
import { changedFileNotices, checkFiles, type VerifiedFiles } from '../../../electron/host/file-records.ts';
import { type ImportOptions, importFile } from '../../../electron/host/import-file.ts';
import { MINIMAL_SHEET, seasonOf } from '../../core/season-file-fixture.ts';
import { almostFullDisk, failingDisk, lyingDisk } from './spoiled-disk.ts';

const SEASON = seasonOf(MINIMAL_SHEET);
const LOG = '1000,1\n2000,0\n'.repeat(200_000);
const sha256 = (text: string) => createHash('sha256').update(text).digest('hex');

let folder: string;
let stick: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sheaflight-import-'));
  stick = mkdtempSync(join(tmpdir(), 'sheaflight-stick-'));
  writeFileSync(join(stick, 'combine.log'), LOG);
});

afterEach(() => {
  rmSync(folder, { recursive: true });
  rmSync(stick, { recursive: true });
});

function into(options: Partial<ImportOptions> = {}, name = 'combine.log') {
  return importFile(folder, join(stick, name), {
    into: 'logs',
    season: SEASON,
    now: () => new Date('2026-10-03T14:05:07Z'),
    ...options,
  });
}

async function copied(options: Partial<ImportOptions> = {}, name = 'combine.log') {
  const copy = await into(options, name);
  if (!copy.ok) throw new Error(copy.error.text);
  return copy.value;
}

async function refusal(options: Partial<ImportOptions> = {}, name = 'combine.log'): Promise<string> {
  const copy = await into(options, name);
  if (copy.ok) throw new Error('copied, although it should have been refused');
  return copy.error.text;
}

const inLogs = () => readdirSync(join(folder, 'logs')).sort();

describe('importing a file', () => {
  it('copies it byte for byte and says what it is', async () => {
    const before = statSync(join(stick, 'combine.log'));
    expect(await copied()).toEqual({
      record: {
        path: 'logs/combine.log',
        sha256: sha256(LOG),
        bytes: LOG.length,
        imported_utc: '2026-10-03T14:05:07.000Z',
        source_name: 'combine.log',
      },
      same_as: undefined,
    });
    expect(readFileSync(join(folder, 'logs/combine.log'), 'utf8')).toBe(LOG);
    expect(inLogs()).toEqual(['combine.log']);
    const after = statSync(join(stick, 'combine.log'));
    expect([after.mtimeMs, after.size, after.ino]).toEqual([before.mtimeMs, before.size, before.ino]);
  });

  it('knows a file by its content, whatever its name', async () => {
    const { record } = await copied();
    writeFileSync(join(stick, 'again.log'), LOG);
    const again = await copied({ season: { ...SEASON, files: [record] } }, 'again.log');
    expect(again).toEqual({ record, same_as: record });
    expect(inLogs()).toEqual(['combine.log']);
  });

  it('copies it again when the recorded one is gone or spoiled', async () => {
    const { record } = await copied();
    writeFileSync(join(folder, 'logs/combine.log'), 'spoiled');
    const again = await copied({ season: { ...SEASON, files: [record] } });
    expect(again.same_as).toBeUndefined();
    expect(again.record.path).toBe('logs/combine-2.log');
  });

  it('never replaces a file of the same name, in whatever letters', async () => {
    await copied();
    writeFileSync(join(stick, 'COMBINE.log'), 'other');
    writeFileSync(join(stick, 'combine.log'), 'third');
    expect((await copied({}, 'COMBINE.log')).record.path).toBe('logs/COMBINE-2.log');
    expect((await copied()).record.path).toBe('logs/combine-3.log');
    expect(readFileSync(join(folder, 'logs/combine.log'), 'utf8')).toBe(LOG);
  });

  it('takes a copy that was finished but not recorded when the program was killed', async () => {
    mkdirSync(join(folder, 'logs'));
    writeFileSync(join(folder, 'logs/combine.log'), LOG);
    expect((await copied()).record).toMatchObject({ path: 'logs/combine.log', sha256: sha256(LOG) });
    expect(inLogs()).toEqual(['combine.log']);
  });

  it('does not let a name lead out of the folder', async () => {
    const { record } = await copied({ source_name: '../../evil.log' });
    expect(record).toMatchObject({ path: 'logs/evil.log', source_name: 'evil.log' });
  });

  it('works on disks without second names', async () => {
    const layer = failingDisk('link', 'EPERM');
    expect((await copied({ layer })).record.path).toBe('logs/combine.log');
    writeFileSync(join(stick, 'combine.log'), 'other');
    expect((await copied({ layer })).record.path).toBe('logs/combine-2.log');
  });

  it('takes an empty file', async () => {
    writeFileSync(join(stick, 'empty.log'), '');
    expect((await copied({}, 'empty.log')).record).toMatchObject({ bytes: 0, sha256: sha256('') });
  });
});

describe('an import that does not succeed leaves nothing, and says why', () => {
  it('when the copy is not the original', async () => {
    expect(await refusal({ layer: lyingDisk() })).toBe(
      'The copy of combine.log is not the same as the original, so it was thrown away; the disk of the season may be failing. Import it again, or move the season to another disk.',
    );
    expect(inLogs()).toEqual([]);
  });

  it('when the disk is full or takes nothing', async () => {
    expect(await refusal({ layer: almostFullDisk(1_500_000) })).toMatch(
      /^Could not copy combine\.log into the season: the disk is full; /,
    );
    expect(await refusal({ layer: failingDisk('openForWriting', 'EACCES') })).toContain(
      'you may not write there',
    );
    expect(inLogs()).toEqual([]);
  });

  it('when the original is not there, is a folder, or is still being written', async () => {
    expect(await refusal({}, 'gone.log')).toBe(
      'gone.log cannot be read: it is not there; is the stick still connected?',
    );
    mkdirSync(join(stick, 'deep'));
    expect(await refusal({}, 'deep')).toBe('deep is not a file; give the files in it.');
    let pieces = 0;
    const growing = {
      ...diskLayer,
      openForWriting: async (path: string) => {
        const file = await diskLayer.openForWriting(path);
        return {
          ...file,
          write: async (bytes: Uint8Array) => {
            if (pieces++ === 0) appendFileSync(join(stick, 'combine.log'), '3000,1\n');
            await file.write(bytes);
          },
        };
      },
    };
    expect(await refusal({ layer: growing })).toBe(
      'combine.log changed while it was copied; wait until nothing writes it any more, and import it again.',
    );
    expect(inLogs()).toEqual([]);
  });

  it('when it is stopped', async () => {
    let asked = 0;
    expect(await refusal({ shouldStop: () => asked++ > 0 })).toBe(
      'Stopped before combine.log was copied; it was not imported.',
    );
    expect(inLogs()).toEqual([]);
  });
});

describe('files against their records', () => {
  let record: FileRecord;
  const verified: VerifiedFiles = new Map();

  beforeEach(async () => {
    verified.clear();
    record = (await copied()).record;
  });

  async function state(path: string, depth: 'quick' | 'full' = 'quick') {
    const states = await checkFiles(folder, { ...SEASON, files: [record] }, depth, verified);
    return states.find((one) => one.path === path);
  }

  it('are read once, and then known by size and time', async () => {
    expect(await state(record.path)).toEqual({
      path: 'logs/combine.log',
      listed_as: 'log',
      state: 'same',
      checked_by: 'sha256',
      text: null,
    });
    expect((await state(record.path))?.checked_by).toBe('size_and_time');
    expect((await state(record.path, 'full'))?.checked_by).toBe('sha256');
  });

  it('are noticed when they change, by size or by content', async () => {
    await state(record.path);
    const path = join(folder, record.path);
    const changed = LOG.replace('1000', '1001');
    writeFileSync(path, changed);
    expect(await state(record.path)).toMatchObject({ state: 'changed', checked_by: 'sha256' });
    writeFileSync(path, `${LOG}3`);
    expect(await state(record.path)).toMatchObject({ state: 'changed', checked_by: 'size' });
    expect((await state(record.path))?.text).toBe(
      'logs/combine.log is not what was imported: its content has changed since. Results are made from what is there now; put the original back, or take it off the list and import it again.',
    );
  });

  it('only a full check sees a change that hides its size and time', async () => {
    const path = join(folder, record.path);
    const then = new Date('2026-10-03T12:00:00Z');
    utimesSync(path, then, then);
    await state(record.path);
    writeFileSync(path, LOG.replace('1000', '1001'));
    utimesSync(path, then, then);
    expect(await state(record.path)).toMatchObject({ state: 'same', checked_by: 'size_and_time' });
    expect(await state(record.path, 'full')).toMatchObject({ state: 'changed', checked_by: 'sha256' });
  });

  it('are noticed when they are gone, and when they were put there by hand', async () => {
    writeFileSync(join(folder, 'logs/by-hand.log'), LOG);
    writeFileSync(join(folder, 'logs/x.log.999999999.0a1b2c3d.part'), LOG);
    rmSync(join(folder, record.path));
    expect(await state(record.path)).toMatchObject({ state: 'missing', checked_by: 'presence' });
    expect(await state('logs/by-hand.log')).toMatchObject({ state: 'unrecorded', listed_as: null });
    expect(await state('logs/x.log.999999999.0a1b2c3d.part')).toBeUndefined();
    expect(await state('tickets/tickets.csv')).toMatchObject({ state: 'missing', listed_as: 'tickets' });
  });

  it('are compared with what a build has read', () => {
    const season = { ...SEASON, files: [record] };
    expect(changedFileNotices(season, new Map([[record.path, record.sha256]]))).toEqual([]);
    expect(changedFileNotices(season, new Map([[record.path, 'other']]))).toMatchObject([
      { code: 'changed_file', severity: 'mend', source: 'logs/combine.log' },
    ]);
  });
});
