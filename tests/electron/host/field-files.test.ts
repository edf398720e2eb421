import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { fieldFolders } from '../../../electron/host/field-files.ts';
import { AskedHost, refusal } from './asked-host.ts';
import { smallSeason } from './small-season.ts';

const asked = new AskedHost();

describe('folders of fields', () => {
  it('have plain names, none twice, whatever the fields are called', () => {
    expect(fieldFolders(['North 40', 'north-40', 'Nörth 40!', '../..', 'CON', '畑'])).toEqual([
      'north-40',
      'north-40-2',
      'north-40-3',
      'field',
      '_con',
      '畑',
    ]);
  });
});

describe('a field by itself', () => {
  it('is written with its points and its figures, and can be read as files of the season', async () => {
    smallSeason(join(asked.scratch, 'small'));
    const season = await asked.reply('openSeason', {}, { folder: join(asked.scratch, 'small') });
    await asked.followed((await asked.reply('build', season)).job);
    const { files } = await asked.reply('exportResult', season, { points: 'all', files: 'each_field' });
    expect(files.map(({ path }) => path)).toEqual([
      'out/fields/home/home-points.geojson',
      'out/fields/home/home-summary.json',
    ]);
    const read = await asked.ask('readFile', season, undefined, `?path=${files[0].path}`);
    const { features } = (await read.json()) as { features: { properties: { field: string } }[] };
    expect(features.length).toBeGreaterThan(10);
    expect(new Set(features.map(({ properties }) => properties.field))).toEqual(new Set(['Home']));
    const summary = await asked.ask('readFile', season, undefined, `?path=${files[1].path}`);
    expect(await summary.json()).toMatchObject({ fields: [{ name: 'Home' }], lags: [{ field: 'Home' }] });
    const slip = { points: 'kept', files: 'each_field', field: 'Hmoe' } as const;
    expect(await refusal(asked.ask('exportResult', season, slip))).toMatchObject({ code: 'no_such_field' });
  });
});
