import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { decodeColumns } from '../../../core/column-wire.ts';
import type { SeasonReply } from '../../../core/host-contract.ts';
import { AskedHost, refusal } from './asked-host.ts';
import { smallSeason } from './small-season.ts';

const asked = new AskedHost();

describe('building', () => {
  async function openSmall(): Promise<SeasonReply> {
    smallSeason(join(asked.scratch, 'small'));
    return asked.reply('openSeason', {}, { folder: join(asked.scratch, 'small') });
  }

  it('runs in a worker, with progress, and gives summary and points', async () => {
    const season = await openSmall();
    expect(await refusal(asked.ask('readResult', season))).toMatchObject({ status: 404, code: 'no_result' });
    const job = await asked.reply('build', season);
    expect(job).toMatchObject({ kind: 'build', state: 'queued', season: season.season });
    const news = await asked.followed(job.job);
    expect(news.at(-1)).toMatchObject({ state: 'done', fraction: 1, error: null });
    expect(new Set(news.map(({ stage }) => stage))).toContain('reading logs');
    const fractions = news.map(({ fraction }) => fraction);
    expect(fractions).toEqual([...fractions].sort((a, b) => a - b));

    const result = await asked.reply('readResult', season);
    expect(result).toMatchObject({ build: job.job, revision: season.revision, summary: { season: 'Small' } });
    expect(result.points[0].rows).toBeGreaterThan(10);
    const points = await asked.ask('readPoints', { season: season.season, build: job.job, field: '0' });
    expect(points.headers.get('content-type')).toBe('application/vnd.sheaflight.columns');
    const block = decodeColumns(new Uint8Array(await points.arrayBuffer()));
    if (!block.ok) throw new Error(block.error.text);
    expect(block.value).toMatchObject({
      rows: result.points[0].rows,
      about: { field: 'Home', revision: season.revision },
    });
    expect([...block.value.columns.keys()]).toEqual(
      expect.arrayContaining(['t_s', 'longitude_deg', 'yield_kg_m2']),
    );
    const some = await asked.ask(
      'readPoints',
      { ...season, build: job.job, field: '0' },
      undefined,
      '?columns=t_s,pass',
    );
    const two = decodeColumns(new Uint8Array(await some.arrayBuffer()));
    expect(two.ok && [...two.value.columns.keys()]).toEqual(['t_s', 'pass']);
    const slip = asked.ask('readPoints', { ...season, build: job.job, field: '0' }, undefined, '?columns=t');
    expect(await refusal(slip)).toMatchObject({
      status: 400,
      text: expect.stringContaining('no column "t"'),
    });
    const lit = block.value.columns.get('longitude_deg');
    expect(lit?.every((degrees) => Math.abs(degrees + 93.6) < 0.1)).toBe(true);

    const card = (await asked.reply('readHome')).elsewhere[0];
    expect(card.first_utc).toMatch(/^2026-10-03T/);
    expect(
      await refusal(asked.ask('readPoints', { season: season.season, build: 'old', field: '0' })),
    ).toMatchObject({
      status: 409,
      code: 'other_build',
    });
    const exported = await asked.reply('exportResult', season, { points: 'all' });
    expect(exported.files.map(({ path }) => path)).toEqual([
      'out/points.geojson',
      'out/summary.json',
      'out/report.html',
      'out/loads.html',
    ]);
  });

  it('previews an edit: figures and points as they would be, and nothing is changed by it', async () => {
    const season = await openSmall();
    await asked.followed((await asked.reply('build', season)).job);
    const before = await asked.reply('readResult', season);
    const edit = { kind: 'set_lag', field: 'Home', change: { transport_s: 20 } } as const;
    const preview = await asked.reply('preview', season, { revision: season.revision, edit });
    expect(preview.name).toBe('Lag set to 20.0 s in Home');
    expect(preview.summary.lags[0]).toMatchObject({ transport_s: 20, method: 'entered' });
    const points = { ...season, build: preview.build, field: '0' };
    expect((await asked.ask('readPoints', points)).status).toBe(200);
    expect(await asked.reply('readResult', season)).toEqual(before);
    const { document, history } = await asked.reply('readSeason', season);
    expect([document, history.entries.length]).toEqual([season.document, 1]);
    const stale = asked.ask('preview', season, { revision: 'old', edit });
    expect(await refusal(stale)).toMatchObject({ status: 409, code: 'stale_revision' });
    const slip = { kind: 'set_lag', field: 'Hmoe', change: { transport_s: 900 } } as const;
    expect((await asked.ask('preview', season, { revision: season.revision, edit: slip })).status).toBe(422);
  });

  it('answers the latest of several previews', async () => {
    const season = await openSmall();
    const tried = [15, 16, 17].map((transport_s) =>
      asked.ask('preview', season, {
        revision: season.revision,
        edit: { kind: 'set_lag', change: { transport_s } },
      }),
    );
    const replies = await Promise.all(tried);
    expect(replies.map(({ status }) => status)).toEqual([409, 409, 200]);
    expect(await replies[2].json()).toMatchObject({ summary: { lags: [{ transport_s: 17 }] } });
  });

  it('ends with the sentence when there is nothing to build', async () => {
    const season = await asked.newSeason();
    const news = await asked.followed((await asked.reply('build', season)).job);
    expect(news.at(-1)).toMatchObject({ state: 'failed', error: { code: 'no_logs' } });
  });

  it('tells of a file that changed since it was copied in', async () => {
    const season = await openSmall();
    const record = {
      path: 'logs/flow.csv',
      sha256: 'ab'.repeat(32),
      bytes: 1,
      imported_utc: '2026-10-03T14:05:07Z',
      source_name: 'flow.csv',
    };
    await asked.reply('editSeason', season, {
      revision: season.revision,
      edit: { kind: 'record_files', files: [record] },
    });
    await asked.followed((await asked.reply('build', season)).job);
    expect((await asked.reply('readResult', season)).notices.map(({ code }) => code)).toContain(
      'changed_file',
    );
  });

  it('of the latest request wins, and can be cancelled', async () => {
    const sample = await asked.reply('openSample');
    const first = await asked.reply('build', sample);
    const second = await asked.reply('build', sample);
    expect((await asked.followed(first.job)).at(-1)).toMatchObject({
      state: 'cancelled',
      error: { code: 'cancelled' },
    });
    await asked.reply('cancelJob', { job: second.job });
    expect((await asked.followed(second.job)).at(-1)).toMatchObject({ state: 'cancelled' });
    expect(await refusal(asked.ask('readResult', sample))).toMatchObject({ code: 'no_result' });
  });
});
