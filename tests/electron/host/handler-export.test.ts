import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { LayerExportChoice } from '../../../core/export/layers/layer-choice.ts';
import { AskedHost, refusal } from './asked-host.ts';
import { smallSeason } from './small-season.ts';

const asked = new AskedHost();

const CHOICE: LayerExportChoice = {
  layers: ['points', 'cells'],
  formats: ['geojson', 'geotiff'],
  points: 'kept',
  units: 'us',
  files: 'together',
};

async function opened(): Promise<string> {
  smallSeason(join(asked.scratch, 'small'));
  const { season } = await asked.reply('openSeason', {}, { folder: join(asked.scratch, 'small') });
  return season;
}

async function built(): Promise<string> {
  const season = await opened();
  const { job } = await asked.reply('build', { season });
  await asked.followed(job);
  return season;
}

describe('export of layers from the window', () => {
  it('is a job that tells how far it is and lists the files, which can be read then', async () => {
    const season = await built();
    const { job, kind } = await asked.reply('exportLayers', { season }, { ...CHOICE, fields: ['Home'] });
    expect(kind).toBe('export');
    const news = await asked.followed(job);
    expect(news.map(({ stage }) => stage)).toContain('surface of Home');
    const last = news.at(-1);
    expect([last?.state, last?.error, last?.fraction]).toEqual(['done', null, 1]);
    expect(last?.exported?.files.map(({ path }) => path)).toEqual([
      'out/export/small-points.geojson',
      'out/export/small-cells.geojson',
      'out/export/small-cells.tif',
    ]);
    expect(last?.exported?.features).toBeGreaterThan(500);
    const tif = await asked.ask('readFile', { season }, undefined, '?path=out/export/small-cells.tif');
    expect((await tif.arrayBuffer()).byteLength).toBe(last?.exported?.files[2].bytes);
  });

  it('remembers what was chosen, without the fields, for every season and the next start', async () => {
    expect(await asked.reply('readExportChoice')).toEqual({ choice: null });
    const season = await built();
    const plain = { ...CHOICE, layers: ['points'], formats: ['geojson'] } as const;
    const { job } = await asked.reply('exportLayers', { season }, { ...plain, fields: ['Home'] });
    await asked.followed(job);
    expect(await asked.reply('readExportChoice')).toEqual({ choice: plain });
    asked.host = asked.made();
    expect(await asked.reply('readExportChoice')).toEqual({ choice: plain });
  });

  it('is refused before there is a result, and for what cannot be meant', async () => {
    const season = await opened();
    expect(await refusal(asked.ask('exportLayers', { season }, CHOICE))).toMatchObject({
      status: 404,
      code: 'no_result',
    });
    const odd = { ...CHOICE, formats: ['tiff'] };
    expect((await refusal(asked.ask('exportLayers', { season }, odd))).status).toBe(400);
    expect((await refusal(asked.ask('exportLayers', { season }, { ...CHOICE, layers: [] }))).status).toBe(
      400,
    );
    const { job } = await asked.reply('build', { season });
    await asked.followed(job);
    const wrong = await asked.reply('exportLayers', { season }, { ...CHOICE, fields: ['Hone'] });
    expect((await asked.followed(wrong.job)).at(-1)).toMatchObject({
      state: 'failed',
      error: { code: 'no_such_field', text: expect.stringContaining('did you mean "Home"?') },
    });
  });

  it('can be stopped, and leaves nothing behind', async () => {
    const season = await built();
    const { job } = await asked.reply('exportLayers', { season }, CHOICE);
    await asked.reply('cancelJob', { job });
    const last = (await asked.followed(job)).at(-1);
    expect(last?.state).toBe('cancelled');
    expect(existsSync(join(asked.scratch, 'small/out/export/small-points.geojson'))).toBe(false);
  });
});
