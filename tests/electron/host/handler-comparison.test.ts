import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { TreatmentChoicesReply } from '../../../core/analysis/comparison-requests.ts';
import { decodeColumns } from '../../../core/column-wire.ts';
import type { StabilityFigures } from '../../../core/export/comparison/stability-files.ts';
import type { SurfaceCorners } from '../../../core/surface/surface-details.ts';
import { DRAWN, stripSeason, treatmentsGeojson } from '../strip-season.ts';
import { AskedHost, refusal } from './asked-host.ts';

const asked = new AskedHost();

describe('comparisons in the host', () => {
  async function opened() {
    const folder = join(asked.scratch, 'strips');
    stripSeason(folder);
    const { season, revision } = await asked.reply('openSeason', {}, { folder });
    return { folder, season, revision };
  }

  async function built(season: string) {
    const { job } = await asked.reply('build', { season });
    await asked.followed(job);
    return job;
  }

  it('follow the sheet without another build: drawn strips, prices, and away again', async () => {
    const { folder, season, revision } = await opened();
    expect(await refusal(asked.ask('readComparisons', { season }))).toMatchObject({ code: 'no_result' });
    const build = await built(season);
    const first = await asked.reply('readComparisons', { season });
    expect(first).toMatchObject({ build, comparisons: [], margins: null });
    expect(first.totals.map(({ by }) => by)).toEqual(['field', 'machine', 'variety', 'day', 'load']);

    const edit = { kind: 'set_comparison', comparison: DRAWN } as const;
    const drawn = await asked.reply('editSeason', { season }, { revision, edit });
    expect(drawn.history.entries.at(-1)?.name).toBe('Comparison Hybrids added in Home, 12 strips');
    const prices = [{ crop: 'corn', price_per_t: 160 }];
    const priced = await asked.reply(
      'editSeason',
      { season },
      { revision: drawn.revision, edit: { kind: 'set_margin', change: { currency: '€', prices } } },
    );
    expect(priced.history.entries.at(-1)?.name).toBe('Currency, prices changed');
    const second = await asked.reply('readComparisons', { season });
    expect(second.comparisons[0].told[0]).toMatch(/^B outyielded A by/);
    const { files } = await asked.reply('writeComparisons', { season });
    expect(files.map(({ path }) => path)).toContain('out/comparison-differences.csv');
    const kept = JSON.parse(readFileSync(join(folder, 'out', 'comparison.json'), 'utf8'));
    expect(kept).not.toHaveProperty('build');
    expect(kept.comparisons[0].told).toEqual(second.comparisons[0].told);
    expect(second.margins).toMatchObject({ currency: '€', fields: [{ field: 'Home' }] });

    const renamed = await asked.reply(
      'editSeason',
      { season },
      { revision: priced.revision, edit: { kind: 'rename_comparison', name: 'Hybrids', to: 'Two hybrids' } },
    );
    expect((await asked.reply('readComparisons', { season })).comparisons[0].name).toBe('Two hybrids');
    const gone = await asked.reply(
      'editSeason',
      { season },
      { revision: renamed.revision, edit: { kind: 'remove_comparison', name: 'Two hybrids' } },
    );
    expect(gone.document.comparisons).toBeUndefined();
    expect((await asked.reply('readComparisons', { season })).comparisons).toEqual([]);
  });

  it('take a file of treatments in as one step of the history, unchanged and recorded', async () => {
    const { folder, season, revision } = await opened();
    await built(season);
    const bytes = new TextEncoder().encode(treatmentsGeojson());
    const sent = await asked.reply('uploadFile', { season, name: 'strips.geojson' }, bytes);
    const response = await asked.ask('readTreatments', { season }, undefined, `?upload=${sent.upload}`);
    const choices = (await response.json()) as TreatmentChoicesReply;
    expect(choices.guess).toMatchObject({ treatment: 'Hybrid', replicate: 'Rep' });
    const comparison = { name: 'Hybrids', field: 'Home', file: { treatment: 'Hybrid', replicate: 'Rep' } };
    const added = await asked.reply(
      'addTreatments',
      { season },
      { revision, upload: sent.upload, comparison },
    );
    expect(added.history.entries.at(-1)?.name).toBe('Comparison Hybrids by strips.geojson in Home');
    expect(readFileSync(join(folder, 'boundaries', 'strips.geojson'), 'utf8')).toBe(treatmentsGeojson());
    expect(added.document.files?.[0]).toMatchObject({ path: 'boundaries/strips.geojson' });
    const { comparisons } = await asked.reply('readComparisons', { season });
    expect(comparisons[0].design).toMatchObject({ kind: 'pairs', blocks_from: 'sheet' });
    const { files } = await asked.reply('checkFiles', { season });
    expect(files).toContainEqual(
      expect.objectContaining({ path: 'boundaries/strips.geojson', listed_as: 'treatments', state: 'same' }),
    );
    const wrong = { ...comparison, name: 'Other', field: 'Hoome' };
    const refused = asked.ask(
      'addTreatments',
      { season },
      { revision: added.revision, upload: sent.upload, comparison: wrong },
    );
    expect(await refusal(refused)).toMatchObject({
      status: 422,
      text: expect.stringContaining('did you mean "Home"'),
    });
    expect(existsSync(join(folder, 'boundaries', 'strips.geojson'))).toBe(true);
  });

  it('lay seasons of a field together, as columns, and as files where that is asked for', async () => {
    const { folder } = await opened();
    const other = join(asked.scratch, 'strips-2025');
    stripSeason(other, { fields: [{ name: 'Old name', crop: 'corn' }] }, 2025);
    const body = {
      folders: [folder, other],
      field: 'Home',
      sheet: { unstable_cv_pct: 20 },
      write: 'out',
    } as const;
    const response = await asked.ask('readStability', {}, body);
    expect(response.status).toBe(200);
    const block = decodeColumns(new Uint8Array(await response.arrayBuffer()));
    if (!block.ok) throw new Error(block.error.text);
    const { about, rows, columns } = block.value;
    const figures = JSON.parse(String(about.figures)) as StabilityFigures;
    expect(figures.unstable_cv_pct).toBe(20);
    expect(figures.seasons.map(({ matched_by }) => matched_by)).toEqual(['given', 'ground']);
    expect(rows).toBe(figures.cells);
    expect([...columns.keys()]).toEqual(
      expect.arrayContaining(['mean_pct', 'cv_pct', 'class', 'season_1_pct', 'season_2_pct']),
    );
    const corners = JSON.parse(String(about.corners)) as SurfaceCorners;
    expect(corners[0][0]).toBeLessThan(columns.get('longitude_deg')?.[0] ?? Number.NaN);
    expect(existsSync(join(folder, 'out', 'stability.geojson'))).toBe(true);
    const away = asked.ask('readStability', {}, { ...body, field: 'Away' });
    expect(await refusal(away)).toMatchObject({ text: expect.stringContaining('"Old name"') });
  });
});
