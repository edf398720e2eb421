import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { AskedHost, refusal } from './asked-host.ts';
import { smallSeason } from './small-season.ts';

const asked = new AskedHost();

async function opened(): Promise<string> {
  smallSeason(join(asked.scratch, 'small'));
  return (await asked.reply('openSeason', {}, { folder: join(asked.scratch, 'small') })).season;
}

const HOME = { fields: ['Home'], season: false, formats: ['html', 'pdf'], map: 'swaths' } as const;

describe('reports from the window', () => {
  it('are made of the last build, told by the job, and read back', async () => {
    const season = await opened();
    const build = await asked.reply('build', { season });
    await asked.followed(build.job);
    const { job, kind } = await asked.reply('makeReports', { season }, HOME);
    expect(kind).toBe('report');
    const ended = (await asked.followed(job)).at(-1);
    expect(ended).toMatchObject({ state: 'done', fraction: 1 });
    const { files, notices } = ended?.reported ?? { files: [], notices: undefined };
    expect(notices).toEqual([]);
    expect(files.map(({ path }) => path)).toEqual(['out/home-report.html', 'out/home-report.pdf']);
    const page = await asked.ask('readFile', { season }, undefined, `?path=${files[0].path}`);
    // in a frame of the window, and nothing in it runs
    expect(page.headers.get('content-security-policy')).toMatch(
      /^sandbox; default-src 'none';.*frame-ancestors 'self'$/,
    );
    expect(page.headers.get('x-frame-options')).toBe('SAMEORIGIN');
    const pdf = await asked.ask('readFile', { season }, undefined, `?path=${files[1].path}`);
    expect(pdf.headers.get('content-disposition')).toMatch(/^attachment/);
    const html = await page.text();
    expect(html).toContain('Field report');
    expect(Buffer.byteLength(html)).toBe(files[0].bytes);
  });

  it('need a build, and a field that is there', async () => {
    const season = await opened();
    expect(await refusal(asked.ask('makeReports', { season }, HOME))).toMatchObject({ status: 404 });
    const build = await asked.reply('build', { season });
    await asked.followed(build.job);
    const { job } = await asked.reply('makeReports', { season }, { ...HOME, fields: ['Hoem'] });
    expect((await asked.followed(job)).at(-1)).toMatchObject({
      state: 'failed',
      error: { code: 'no_such_field', text: expect.stringContaining('did you mean "Home"?') },
    });
    expect(existsSync(join(asked.scratch, 'small', 'out'))).toBe(false);
    const slip = asked.ask('makeReports', { season }, { ...HOME, formats: ['doc'] } as never);
    expect(await refusal(slip)).toMatchObject({ status: 400 });
  });
});
