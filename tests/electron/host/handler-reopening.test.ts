import { existsSync, mkdirSync, readdirSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import type { ResultReply, SeasonReply } from '../../../core/host-contract.ts';
import type { WorkerPool } from '../../../electron/host/worker-pool.ts';
import { AskedHost } from './asked-host.ts';
import { smallSeason } from './small-season.ts';

const asked = new AskedHost();
const pools: WorkerPool[] = [];

afterEach(async () => {
  for (const pool of pools.splice(0)) await pool.close();
});

/** The host as it is after the program was started again: new threads, which remember nothing. */
async function restarted(): Promise<void> {
  for (const { key } of asked.host.services.sessions.all()) await asked.reply('closeSeason', { season: key });
  asked.host = asked.made({ pool: undefined });
  pools.push(asked.host.services.pool);
}

const open = () => asked.reply('openSeason', {}, { folder: join(asked.scratch, 'small') });

async function built({ season }: SeasonReply): Promise<{ stages: string[]; result: ResultReply }> {
  const { job } = await asked.reply('build', { season });
  const news = await asked.followed(job);
  expect(news.at(-1)).toMatchObject({ state: 'done', error: null });
  return { stages: news.map(({ stage }) => stage), result: await asked.reply('readResult', { season }) };
}

async function eventually(isSo: () => boolean): Promise<void> {
  for (let k = 0; k < 200 && !isSo(); k++) await new Promise((resolve) => setTimeout(resolve, 50));
  expect(isSo()).toBe(true);
}

const isKept = () => {
  const columns = join(asked.scratch, 'small', 'cache', 'columns');
  return existsSync(columns) && readdirSync(columns).some((name) => /^result-.*json$/.test(name));
};

describe('a season that is opened again', () => {
  it('has its result at once, the same, and a change of it is made as before', async () => {
    smallSeason(join(asked.scratch, 'small'));
    await restarted();
    const first = await built(await open());
    expect(first.stages).toContain('lag');
    await restarted();
    expect(isKept()).toBe(true);
    const season = await open();
    const again = await built(season);
    expect(again.stages).not.toContain('lag');
    expect({ ...again.result, build: '' }).toEqual({ ...first.result, build: '' });

    const edit = { kind: 'set_rule' as const, rule: 'slow' as const, change: { speed_min_m_s: 2.5 } };
    const edited = await asked.reply('editSeason', season, { revision: season.revision, edit });
    const changed = await built(edited);
    expect(changed.stages).toContain('lag');
    expect(changed.result.summary.fields[0].points.screened.slow).toBeGreaterThan(0);
  });

  it('stays where it is put: nothing is written for it once it is closed', async () => {
    smallSeason(join(asked.scratch, 'small'));
    await restarted();
    const season = await open();
    await built(season);
    await asked.reply('closeSeason', season);
    renameSync(join(asked.scratch, 'small'), join(asked.scratch, 'moved'));
    await new Promise((resolve) => setTimeout(resolve, 2500));
    expect(existsSync(join(asked.scratch, 'small'))).toBe(false);
  });

  it('says once that nothing can be kept, and works all the same', async () => {
    smallSeason(join(asked.scratch, 'small'));
    await restarted();
    const { services } = asked.host;
    const season = await open();
    mkdirSync(join(asked.scratch, 'small', 'cache'), { recursive: true });
    writeFileSync(join(asked.scratch, 'small', 'cache', 'columns'), 'a file in the way');
    expect((await built(season)).result.points[0].rows).toBeGreaterThan(10);
    await eventually(() => services.sessions.get(season.season)?.remarks.length === 1);
    const told = async () => (await asked.reply('readSeason', season)).notices.map(({ code }) => code);
    expect(await told()).toContain('cache_not_kept');
    expect(await told()).not.toContain('cache_not_kept');
  });
});
