import { existsSync, mkdirSync, readdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { MINIMAL_SHEET } from '../../core/season-file-fixture.ts';
import { TOP } from '../../structure/source-files.ts';
import { AskedHost, refusal } from './asked-host.ts';

const asked = new AskedHost();

describe('the library', () => {
  it('makes, lists, renames, copies and closes seasons', async () => {
    const season = await asked.newSeason();
    expect(season).toMatchObject({
      folder: join(asked.scratch, 'home/kestrel'),
      document: { name: 'Kestrel', units: 'us', machines: [] },
      history: { entries: [{ name: 'Opened' }], at: 0 },
      notices: [],
    });
    const named = await asked.reply('renameSeason', season, {
      revision: season.revision,
      name: 'Kestrel Flats',
      folder_name: 'flats',
    });
    expect(named).toMatchObject({
      folder: join(asked.scratch, 'home/flats'),
      document: { name: 'Kestrel Flats' },
    });
    await asked.reply('copySeason', { season: named.season }, { name: 'Second try' });
    await asked.reply('closeSeason', { season: named.season });
    const home = await asked.reply('readHome');
    expect(home).toMatchObject({ folder: join(asked.scratch, 'home'), chosen_by: 'option', elsewhere: [] });
    expect(home.seasons.map(({ name, is_open }) => [name, is_open])).toEqual([
      ['Kestrel Flats', false],
      ['Second try', true],
    ]);
  });

  it('opens a season anywhere, once, and lists it apart', async () => {
    mkdirSync(join(asked.scratch, 'stick/a'), { recursive: true });
    writeFileSync(join(asked.scratch, 'stick/a/season.json'), MINIMAL_SHEET);
    symlinkSync(join(asked.scratch, 'stick'), join(asked.scratch, 'link'));
    const [first, second] = await Promise.all([
      asked.reply('openSeason', {}, { folder: join(asked.scratch, 'stick/a') }),
      asked.reply('openSeason', {}, { folder: join(asked.scratch, 'link/a/season.json') }),
    ]);
    expect(second.season).toBe(first.season);
    const home = await asked.reply('readHome');
    expect(home.elsewhere.map(({ folder }) => folder)).toEqual([join(asked.scratch, 'stick/a')]);
  });

  it('removes to the bin', async () => {
    const season = await asked.newSeason();
    expect(await asked.reply('removeSeason', season)).toEqual({ text: 'kestrel is in the bin.' });
    expect(readdirSync(join(asked.scratch, 'home'))).toEqual([]);
    expect(readdirSync(join(asked.scratch, 'data/Trash/files/kestrel')).sort()).toEqual([
      'boundaries',
      'logs',
      'season.json',
      'tickets',
    ]);
    expect(await refusal(asked.ask('removeSeason', season))).toMatchObject({
      status: 404,
      code: 'no_such_season',
    });
  });

  it('does not remove what another program has open', async () => {
    const season = await asked.newSeason();
    const other = asked.host;
    asked.host = asked.made();
    expect(await refusal(asked.ask('removeSeason', season))).toMatchObject({
      status: 409,
      code: 'open_elsewhere',
    });
    expect(await refusal(asked.ask('openSeason', {}, { folder: season.folder }))).toMatchObject({
      status: 409,
    });
    expect(existsSync(season.folder)).toBe(true);
    asked.host = other;
    await asked.reply('closeSeason', season);
  });

  it('packs and unpacks', async () => {
    const season = await asked.newSeason();
    const packed = await asked.ask('packSeason', season);
    expect(packed.headers.get('content-disposition')).toBe("attachment; filename*=UTF-8''kestrel.zip");
    const zip = new Uint8Array(await packed.arrayBuffer());
    const back = await asked.reply('unpackSeason', { name: 'kestrel.zip' }, zip);
    expect(back).toMatchObject({
      folder: join(asked.scratch, 'home/kestrel-2'),
      document: { name: 'Kestrel' },
    });
    expect(readdirSync(join(asked.scratch, 'home')).sort()).toEqual(['kestrel', 'kestrel-2']);
    expect(await refusal(asked.ask('unpackSeason', { name: 'x.zip' }, new Uint8Array(9)))).toMatchObject({
      status: 422,
      code: 'damaged_zip',
    });
    expect(readdirSync(join(asked.scratch, 'home')).sort()).toEqual(['kestrel', 'kestrel-2']);
  });

  it('can be put elsewhere, for the next time too', async () => {
    expect(await refusal(asked.ask('setHome', {}, { folder: 'relative' }))).toMatchObject({
      code: 'not_absolute',
    });
    await asked.reply('setHome', {}, { folder: join(asked.scratch, 'new/place') });
    expect(await asked.reply('readHome')).toMatchObject({
      folder: join(asked.scratch, 'new/place'),
      chosen_by: 'preference',
    });
    asked.host = asked.made({ home: undefined });
    expect((await asked.reply('readHome')).folder).toBe(join(asked.scratch, 'new/place'));
  });

  it('opens a copy of the sample season, and the same copy the next time', async () => {
    const sample = readdirSync(join(TOP, 'sample-data')).find((name) =>
      existsSync(join(TOP, 'sample-data', name, 'season.json')),
    );
    const first = await asked.reply('openSample');
    expect(first.folder).toBe(join(asked.scratch, 'home', sample ?? ''));
    await asked.reply('closeSeason', first);
    expect((await asked.reply('openSample')).folder).toBe(first.folder);
    expect(readdirSync(join(asked.scratch, 'home'))).toHaveLength(1);
  });

  it('brings a broken season back', async () => {
    const season = await asked.newSeason();
    await asked.reply('editSeason', season, {
      revision: season.revision,
      edit: { kind: 'rename_season', name: 'B' },
    });
    await asked.reply('closeSeason', season);
    writeFileSync(join(season.folder, 'season.json'), '{');
    expect((await asked.reply('readHome')).seasons[0].problem).toMatchObject({ can_restore: true });
    const back = await asked.reply('restoreSeason', {}, { folder: season.folder });
    expect(back.document.name).toBe('Kestrel');
    expect(back.notices.map(({ code }) => code)).toEqual(['restored']);
  });
});
