import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { SeasonEdit } from '../../../core/edits.ts';
import { diskLayer, type FileLayer } from '../../../electron/host/file-layer.ts';
import { SeasonStore } from '../../../electron/host/season-store.ts';
import { MINIMAL_SHEET, seasonOf } from '../../core/season-file-fixture.ts';
import { almostFullDisk, failingDisk } from './spoiled-disk.ts';

let folder: string;
const stores: SeasonStore[] = [];

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sheaflight-store-'));
  writeFileSync(join(folder, 'season.json'), MINIMAL_SHEET);
});

afterEach(async () => {
  for (const store of stores.splice(0)) await store.close();
  rmSync(folder, { recursive: true, force: true });
});

async function opened(layer: FileLayer = diskLayer): Promise<SeasonStore> {
  const store = await SeasonStore.open(folder, { layer, now: () => new Date('2026-10-03T14:05:07Z') });
  if (!store.ok) throw new Error(store.error.text);
  stores.push(store.value);
  return store.value;
}

const onDisk = (name = 'season.json') => readFileSync(join(folder, name), 'utf8');
const rename = (name: string): SeasonEdit => ({ kind: 'rename_season', name });

async function edited(store: SeasonStore, edit: SeasonEdit) {
  const season = await store.edit(store.revision, edit);
  if (!season.ok) throw new Error(season.error.text);
  return season.value;
}

async function refusal(store: SeasonStore, edit: SeasonEdit, revision = store.revision) {
  const season = await store.edit(revision, edit);
  if (season.ok) throw new Error('edited, although it should have been refused');
  return season.error;
}

describe('an open season', () => {
  it('has an edit on the disk when it says so, and the sheet before it beside it', async () => {
    const store = await opened();
    await edited(store, rename('First'));
    expect(seasonOf(onDisk()).name).toBe('First');
    expect(onDisk('season.json.previous')).toBe(MINIMAL_SHEET);
    await edited(store, rename('Second'));
    expect(seasonOf(onDisk()).name).toBe('Second');
    expect(seasonOf(onDisk('season.json.previous')).name).toBe('First');
    expect(readdirSync(folder).sort()).toEqual(['season.json', 'season.json.previous', 'season.lock']);
    await store.close();
    expect(readdirSync(folder).sort()).toEqual(['season.json', 'season.json.previous']);
  });

  it('is left byte for byte as it was by opening, and by an edit that changes nothing', async () => {
    const store = await opened();
    await edited(store, { kind: 'set_units', units: 'us' });
    expect(onDisk()).toBe(MINIMAL_SHEET);
    expect(store.history.entries).toHaveLength(1);
  });

  it('keeps keys that the program does not know', async () => {
    writeFileSync(
      join(folder, 'season.json'),
      MINIMAL_SHEET.replace('"units"', '"memo": {"of": [1]}, "units"'),
    );
    await edited(await opened(), rename('Other'));
    expect(JSON.parse(onDisk()).memo).toEqual({ of: [1] });
  });

  it('undoes and redoes, on the disk, with names', async () => {
    const store = await opened();
    await edited(store, rename('First'));
    await edited(store, { kind: 'set_lag', field: 'Home', change: { transport_s: 12 } });
    await store.undo(store.revision);
    expect(seasonOf(onDisk()).settings).toBeUndefined();
    await store.undo(store.revision);
    expect(seasonOf(onDisk())).toEqual(seasonOf(MINIMAL_SHEET));
    const end = await store.undo(store.revision);
    expect(end.ok === false && end.error.text).toBe('There is nothing to undo.');
    await store.redo(store.revision);
    expect(store.history).toEqual({
      entries: ['Opened', 'Season renamed to First', 'Lag set to 12.0 s in Home'].map((name) => ({
        name,
        utc: '2026-10-03T14:05:07.000Z',
      })),
      at: 1,
    });
    await edited(store, rename('Third'));
    expect(store.history.entries.map(({ name }) => name)).toEqual([
      'Opened',
      'Season renamed to First',
      'Season renamed to Third',
    ]);
    expect((await store.redo(store.revision)).ok).toBe(false);
  });

  it('refuses an edit of a season that has changed since', async () => {
    const store = await opened();
    const seen = store.revision;
    await edited(store, rename('First'));
    expect(await refusal(store, rename('Second'), seen)).toEqual({
      code: 'stale_revision',
      source: 'season.json',
      text: 'The season has changed since you saw it (last: "Season renamed to First"), so this was not done. Look at it as it is now, and do it again if it is still right.',
    });
  });

  it('makes edits that come at once one after the other: the first wins', async () => {
    const store = await opened();
    const { revision } = store;
    const both = await Promise.all([store.edit(revision, rename('A')), store.edit(revision, rename('B'))]);
    expect(both.map(({ ok }) => ok)).toEqual([true, false]);
    expect(seasonOf(onDisk()).name).toBe('A');
  });

  it('lets one in at a time', async () => {
    const store = await opened();
    const second = await SeasonStore.open(folder);
    expect(second.ok === false && second.error.code).toBe('open_elsewhere');
    await store.close();
    await opened();
  });

  it('does not open what is broken, and leaves it unlocked', async () => {
    writeFileSync(join(folder, 'season.json'), '{');
    const store = await SeasonStore.open(folder);
    expect(store.ok === false && store.error.code).toBe('json_syntax');
    expect(readdirSync(folder)).toEqual(['season.json']);
  });
});

describe('what a killed process has left', () => {
  it('is cleared away and said, and never taken for data', async () => {
    mkdirSync(join(folder, 'logs'));
    writeFileSync(join(folder, 'season.json.999999999.0a1b2c3d.part'), '{"half');
    writeFileSync(join(folder, 'logs/a.log.999999999.0a1b2c3d.part'), '1,1');
    writeFileSync(join(folder, 'logs/b.part'), 'a file of the user');
    const store = await opened();
    expect(store.notices.map(({ code, text }) => ({ code, text }))).toEqual([
      {
        code: 'recovered',
        text: 'The program did not end well when this season was last open; every change that was saved is here. 2 unfinished file(s) that it left were removed.',
      },
    ]);
    expect(readdirSync(join(folder, 'logs'))).toEqual(['b.part']);
  });
});

describe('changes behind the program’s back', () => {
  it('of the sheet are never overwritten, and can be taken over', async () => {
    const store = await opened();
    writeFileSync(join(folder, 'season.json'), MINIMAL_SHEET.replace('Kestrel Flats 2026', 'By hand'));
    expect((await refusal(store, rename('Mine'))).text).toBe(
      'season.json was changed by another program since it was opened here. Reload it and make your change again; nothing of theirs was overwritten.',
    );
    expect(seasonOf(onDisk()).name).toBe('By hand');
    await store.reload();
    expect(store.document.name).toBe('By hand');
    expect(store.history.entries.map(({ name }) => name)).toEqual(['Opened', 'Changed by another program']);
    await edited(store, rename('Mine'));
    await store.undo(store.revision);
    expect(seasonOf(onDisk()).name).toBe('By hand');
  });

  it('that break the sheet leave the document in memory as it is', async () => {
    const store = await opened();
    writeFileSync(join(folder, 'season.json'), '{"format"');
    const reloaded = await store.reload();
    expect(reloaded.ok === false && reloaded.error.code).toBe('json_syntax');
    expect(store.document.name).toBe('Kestrel Flats 2026');
    expect((await refusal(store, rename('Mine'))).code).toBe('changed_outside');
  });

  it('that take the sheet away are told, and the next change brings it back', async () => {
    const store = await opened();
    rmSync(join(folder, 'season.json'));
    expect((await store.outsideChange())?.code).toBe('sheet_vanished');
    expect((await store.reload()).ok).toBe(false);
    await edited(store, rename('Mine'));
    expect(seasonOf(onDisk()).name).toBe('Mine');
  });

  it('that take the whole folder away end in a sentence', async () => {
    const store = await opened();
    rmSync(folder, { recursive: true });
    expect((await refusal(store, rename('Mine'))).text).toMatch(
      /^Could not save season\.json of sheaflight-store-\w+: the folder is not there any more \(look whether the disk is still connected\)\. Nothing was lost/,
    );
    expect(store.document.name).toBe('Kestrel Flats 2026');
  });

  it('by a second window that took the lock stop all writing here', async () => {
    const store = await opened();
    const theirs = JSON.parse(onDisk('season.lock'));
    writeFileSync(join(folder, 'season.lock'), JSON.stringify({ ...theirs, token: 'theirs' }));
    expect((await refusal(store, rename('Mine'))).code).toBe('lock_lost');
    expect(onDisk()).toBe(MINIMAL_SHEET);
  });
});

describe('a disk that takes nothing', () => {
  it('full: the season stays as it was, on the disk and in memory, and goes on once there is room', async () => {
    const store = await opened(almostFullDisk(300));
    const error = await refusal(store, rename('x'.repeat(100)));
    expect(error).toMatchObject({ code: 'disk_full' });
    expect(error.text).toMatch(
      /^Could not save season\.json of \S+: the disk is full; free some space and do it again\. Nothing was lost/,
    );
    expect(onDisk()).toBe(MINIMAL_SHEET);
    expect(store.document.name).toBe('Kestrel Flats 2026');
    expect(readdirSync(folder).sort()).toEqual(['season.json', 'season.lock']);
  });

  it('read-only: the season can be looked at, and says why it cannot be changed', async () => {
    const store = await opened(failingDisk('openForWriting', 'EROFS'));
    expect(store.notices.map(({ code }) => code)).toEqual(['read_only']);
    expect(store.notices[0].text).toMatch(/^This season can be looked at, and not changed\. Could not open /);
    expect((await refusal(store, rename('Mine'))).text).toContain('the disk can only be read');
    expect(onDisk()).toBe(MINIMAL_SHEET);
  });

  /** A disk that works until it is told not to. */
  function breakable(operation: 'rename' | 'syncFolder', code: string) {
    const failing = failingDisk(operation, code);
    const disk = {
      isBroken: false,
      layer: {
        ...diskLayer,
        [operation]: (...args: [string, string]) => (disk.isBroken ? failing : diskLayer)[operation](...args),
      } as FileLayer,
    };
    return disk;
  }

  it('that fails at the last step leaves what was there, and nothing half-written', async () => {
    const disk = breakable('rename', 'EIO');
    const store = await opened(disk.layer);
    disk.isBroken = true;
    expect((await refusal(store, rename('Mine'))).code).toBe('cannot_write');
    expect(readdirSync(folder).sort()).toEqual(['season.json', 'season.lock']);
    expect(onDisk()).toBe(MINIMAL_SHEET);
    disk.isBroken = false;
    await edited(store, rename('Mine again'));
    expect(seasonOf(onDisk()).name).toBe('Mine again');
  });

  it('that does not confirm a change that it has made says so', async () => {
    const disk = breakable('syncFolder', 'EIO');
    const store = await opened(disk.layer);
    disk.isBroken = true;
    const season = await store.edit(store.revision, rename('Mine'));
    expect(season.notices.map(({ code }) => code)).toEqual(['not_confirmed']);
    expect(seasonOf(onDisk()).name).toBe('Mine');
    disk.isBroken = false;
    await edited(store, rename('Mine again'));
  });

  it('without second names still keeps the previous sheet', async () => {
    const store = await opened(failingDisk('link', 'EPERM'));
    await edited(store, rename('First'));
    expect(onDisk('season.json.previous')).toBe(MINIMAL_SHEET);
    expect(seasonOf(onDisk()).name).toBe('First');
  });
});
