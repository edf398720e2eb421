import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { type ColumnBlock, decodeColumns } from '../../../core/column-wire.ts';
import type { SurfaceReply } from '../../../core/surface/surface-details.ts';
import { AskedHost, refusal } from './asked-host.ts';
import { smallSeason } from './small-season.ts';

const asked = new AskedHost();

describe('the surface of a field', () => {
  async function builtSteps() {
    smallSeason(join(asked.scratch, 'small'));
    const { season } = await asked.reply('openSeason', {}, { folder: join(asked.scratch, 'small') });
    const { job } = await asked.reply('build', { season });
    await asked.followed(job);
    return { season, build: job, field: '0' };
  }

  async function block(
    steps: Awaited<ReturnType<typeof builtSteps>>,
    settings?: object,
  ): Promise<ColumnBlock> {
    const query = settings === undefined ? '' : `?settings=${encodeURIComponent(JSON.stringify(settings))}`;
    const response = await asked.ask('readSurface', steps, undefined, query);
    const decoded = decodeColumns(new Uint8Array(await response.arrayBuffer()));
    if (!decoded.ok) throw new Error(decoded.error.text);
    return decoded.value;
  }

  it('has a yield and its standard error in every cell, by the settings asked for', async () => {
    const steps = await builtSteps();
    const usual = await block(steps);
    const details: SurfaceReply = JSON.parse(String(usual.about.details));
    expect(details).toMatchObject({ method: 'kriging', cells: usual.rows, neighbours: 32, notices: [] });
    expect(details.variogram.length).toBeGreaterThan(5);
    expect(usual.about).toMatchObject({ field: 'Home', crop: 'corn', cell_m: 5 });
    // 45 m by 160 m or so of cells of 25 m²
    expect(usual.rows).toBeGreaterThan(250);
    expect(usual.rows).toBeLessThan(420);
    for (const name of ['yield_kg_m2', 'yield_se_kg_m2'])
      expect(usual.columns.get(name)?.every((found) => found > 0 && found < 10)).toBe(true);

    const longitude_deg = usual.columns.get('longitude_deg');
    expect(longitude_deg?.every((degrees) => Math.abs(degrees + 93.6) < 0.01)).toBe(true);

    const other = await block(steps, { method: 'inverse_distance', cell_m: 10 });
    expect(other.about.cell_m).toBe(10);
    expect(JSON.parse(String(other.about.details))).toMatchObject({
      method: 'inverse_distance',
      model: null,
    });
    expect(other.columns.get('yield_se_kg_m2')?.every(Number.isNaN)).toBe(true);
    expect(other.rows).toBeLessThan(usual.rows / 2);
  });

  it('is made by a job first, by settings that are tried, and then read', async () => {
    const steps = await builtSteps();
    const sheet = { method: 'kriging', cell_m: 1 } as const;
    const { job } = await asked.reply('makeSurface', steps, sheet);
    const last = (await asked.followed(job)).at(-1);
    expect(last).toMatchObject({ kind: 'surface', state: 'done', fraction: 1, stage: 'making the surface' });
    const made = await block(steps, sheet);
    expect(JSON.parse(String(made.about.details))).toMatchObject({ suggested_cell_m: 5, block_m: 1 });

    // of two at once the newer one is made
    const first = await asked.reply('makeSurface', steps, { cell_m: 1.5 });
    const second = await asked.reply('makeSurface', steps, { cell_m: 20 });
    expect((await asked.followed(first.job)).at(-1)).toMatchObject({ state: 'cancelled' });
    expect((await asked.followed(second.job)).at(-1)).toMatchObject({ state: 'done' });
    const slip = asked.ask('makeSurface', steps, { cell_m: 0.1 });
    expect(await refusal(slip)).toMatchObject({ status: 400, text: expect.stringContaining('0.5 to 500 m') });
  });

  it('is refused for settings that cannot be meant and for fields that are not there', async () => {
    const steps = await builtSteps();
    const slip = asked.ask('readSurface', steps, undefined, '?settings={"cell_m":-1}');
    expect(await refusal(slip)).toMatchObject({ status: 400, text: expect.stringContaining('0.5 to 500 m') });
    const tiny = asked.ask('readSurface', steps, undefined, '?settings={"cell_m":0.5,"method":');
    expect(await refusal(tiny)).toMatchObject({ status: 400, text: expect.stringContaining('no JSON') });
    expect(await refusal(asked.ask('readSurface', { ...steps, field: '3' }))).toMatchObject({ status: 404 });
    expect(await refusal(asked.ask('readSurface', { ...steps, build: 'old' }))).toMatchObject({
      status: 409,
    });
  });
});
