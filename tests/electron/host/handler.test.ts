import { mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { success } from '../../../core/errors.ts';
import { type ImportReport, ROUTES, type RouteName } from '../../../core/host-contract.ts';
import { importFile } from '../../../electron/host/import-file.ts';
import { MINIMAL_SHEET } from '../../core/season-file-fixture.ts';
import { AskedHost, ORIGIN, refusal } from './asked-host.ts';

const asked = new AskedHost();

describe('an open season', () => {
  it('is edited, undone and redone by revision', async () => {
    const season = await asked.newSeason();
    const field = { name: 'Home', crop: 'corn' };
    const edited = await asked.reply('editSeason', season, {
      revision: season.revision,
      edit: { kind: 'add_field', field },
    });
    expect(edited.document.fields).toEqual([field]);
    const stale = asked.ask('editSeason', season, {
      revision: season.revision,
      edit: { kind: 'rename_season', name: 'X' },
    });
    expect(await refusal(stale)).toMatchObject({ status: 409, code: 'stale_revision' });
    const undone = await asked.reply('undo', season, { revision: edited.revision });
    expect(undone).toMatchObject({ revision: season.revision, history: { at: 0 } });
    expect((await asked.reply('redo', season, { revision: undone.revision })).revision).toBe(edited.revision);
    const sheet = JSON.parse(readFileSync(join(season.folder, 'season.json'), 'utf8'));
    expect(sheet.fields).toEqual([field]);
  });

  it('tells of a change by another program, and reloads it', async () => {
    const season = await asked.newSeason();
    writeFileSync(join(season.folder, 'season.json'), MINIMAL_SHEET);
    expect((await asked.reply('readSeason', season)).notices.map(({ code }) => code)).toEqual([
      'changed_outside',
    ]);
    expect((await asked.reply('reloadSeason', season)).document.name).toBe('Kestrel Flats 2026');
    expect((await asked.reply('readSeason', season)).notices).toEqual([]);
  });

  it('gives its own files and no others', async () => {
    const season = await asked.newSeason();
    mkdirSync(join(season.folder, 'cache'));
    for (const path of ['logs/a.log', 'cache/x', 'notes.txt', 'out/report.html']) {
      mkdirSync(join(season.folder, path, '..'), { recursive: true });
      writeFileSync(join(season.folder, path), '<script>1</script>');
    }
    writeFileSync(join(asked.scratch, 'secret.txt'), 'secret');
    symlinkSync(join(asked.scratch, 'secret.txt'), join(season.folder, 'logs/link.log'));
    const read = (path: string) =>
      asked.ask('readFile', season, undefined, `?path=${encodeURIComponent(path)}`);
    const log = await read('logs/a.log');
    expect(await log.text()).toBe('<script>1</script>');
    expect(log.headers.get('content-type')).toBe('application/octet-stream');
    expect(log.headers.get('content-disposition')).toBe("attachment; filename*=UTF-8''a.log");
    const report = await read('out/report.html');
    expect(report.headers.get('content-type')).toBe('text/html; charset=utf-8');
    expect(report.headers.get('content-security-policy')).toMatch(/^sandbox; default-src 'none'/);
    await report.text();
    for (const path of [
      '../secret.txt',
      'logs/../../../secret.txt',
      '/etc/passwd',
      'logs/link.log',
      'notes.txt',
      'cache/x',
      'logs/../notes.txt',
      'logs/../cache/x',
      'logs/../season.lock',
      'season.lock',
      'logs\\..\\..\\secret.txt',
      '',
      'logs/\0',
    ])
      expect([403, 404, 422]).toContain((await refusal(read(path))).status);
    expect(await refusal(read('logs/../../../secret.txt'))).toMatchObject({
      status: 403,
      code: 'outside_folder',
    });
    expect(await refusal(read('logs/gone.log'))).toMatchObject({ status: 404, code: 'no_such_file' });
  });

  it('checks its files', async () => {
    const season = await asked.newSeason();
    writeFileSync(join(season.folder, 'logs/a.log'), '1,1\n');
    expect((await asked.reply('checkFiles', season)).files).toEqual([
      { path: 'logs/a.log', listed_as: null, state: 'unrecorded', checked_by: 'presence', text: null },
    ]);
  });
});

describe('importing', () => {
  it('is not there without an importer, and says so', async () => {
    const season = await asked.newSeason();
    const body = { revision: season.revision, paths: [], uploads: [] };
    expect(await refusal(asked.ask('importFiles', season, body))).toMatchObject({
      status: 501,
      code: 'not_available',
    });
  });

  it('hands paths and uploads on, follows the work, and clears uploads away', async () => {
    const report: ImportReport = { files: [], gaps: [], overlaps: [], questions: [], notices: [] };
    asked.host = asked.made({
      importer: {
        importFiles: async ({ store, uploads, paths }, context) => {
          context.progress('copying', 0.5);
          expect(paths).toEqual(['/stick/a.log']);
          const copy = await importFile(store.folder, uploads[0].path, {
            into: 'logs',
            season: store.document,
          });
          if (!copy.ok) return copy;
          await store.edit(store.revision, { kind: 'record_files', files: [copy.value.record] });
          return success(report);
        },
      },
    });
    const season = await asked.newSeason();
    const upload = await asked.reply(
      'uploadFile',
      { season: season.season, name: '../b.log' },
      new TextEncoder().encode('1,1\n'),
    );
    expect(upload).toMatchObject({ source_name: 'b.log', bytes: 4 });
    const job = await asked.reply('importFiles', season, {
      revision: season.revision,
      paths: ['/stick/a.log'],
      uploads: [upload.upload],
    });
    const news = await asked.followed(job.job);
    expect(news.at(-1)).toMatchObject({ state: 'done', fraction: 1, report });
    const after = await asked.reply('readSeason', season);
    expect(after.document.files?.map(({ path, source_name }) => [path, source_name])).toEqual([
      ['logs/b.log', 'b.log'],
    ]);
    expect(readdirSync(join(season.folder, 'cache/incoming'))).toEqual([]);
    const again = { revision: after.revision, paths: [], uploads: [upload.upload] };
    expect(await refusal(asked.ask('importFiles', season, again))).toMatchObject({ code: 'no_such_upload' });
  });
});

describe('requests that are not understood', () => {
  it('are refused with status, code and sentence', async () => {
    const raw = (path: string, init?: RequestInit) =>
      asked.host.handler(new Request(`${ORIGIN}${path}`, init));
    const json = { 'content-type': 'application/json' };
    expect(await refusal(raw('/api/hom'))).toEqual({
      status: 404,
      code: 'no_such_route',
      text: 'Nothing answers at /api/hom; did you mean /api/home?',
    });
    expect((await raw('/api/home', { method: 'DELETE' })).headers.get('allow')).toBe('GET, PUT');
    expect(await refusal(raw('/api/seasons/%E0%A4%A'))).toMatchObject({ status: 400 });
    expect(await refusal(raw('/api/seasons/%00'))).toMatchObject({ status: 400 });
    expect(await refusal(raw('/api/home', { method: 'PUT', body: '{}' }))).toMatchObject({ status: 415 });
    expect(await refusal(raw('/api/home', { method: 'PUT', body: '{', headers: json }))).toMatchObject({
      status: 400,
      code: 'bad_json',
    });
    expect(
      await refusal(raw('/api/home', { method: 'PUT', body: '{"folder": 7}', headers: json })),
    ).toMatchObject({
      status: 400,
      code: 'bad_request',
      text: expect.stringMatching(/^The request is not understood: folder: /),
    });
    expect(
      await refusal(raw('/api/home', { method: 'PUT', body: '{"folder": "/a", "more": 1}', headers: json })),
    ).toMatchObject({ status: 400 });
    const long = JSON.stringify({ folder: 'x'.repeat(5 << 20) });
    expect(await refusal(raw('/api/home', { method: 'PUT', body: long, headers: json }))).toMatchObject({
      status: 413,
    });
    const season = await asked.newSeason();
    expect(
      await refusal(asked.ask('editSeason', season, { revision: 'x', edit: { kind: 'explode' } })),
    ).toMatchObject({
      status: 400,
    });
    const form = { 'content-type': 'text/plain' };
    const upload = raw(`/api/seasons/${season.season}/uploads/a.log`, {
      method: 'POST',
      body: 'x',
      headers: form,
    });
    expect(await refusal(upload)).toMatchObject({ status: 415 });
  });

  it('name seasons and jobs that are not there', async () => {
    expect(await refusal(asked.ask('readSeason', { season: '../../etc' }))).toMatchObject({
      status: 404,
      code: 'not_open',
    });
    expect(await refusal(asked.ask('packSeason', { season: '0123456789abcdef' }))).toMatchObject({
      status: 404,
      code: 'no_such_season',
    });
    expect(await refusal(asked.ask('watchJob', { job: 'x' }))).toMatchObject({
      status: 404,
      code: 'no_such_job',
    });
  });

  it('are answered by every route of the contract, and every body that there is has its schema', async () => {
    for (const [name, route] of Object.entries(ROUTES)) {
      const response = await asked.ask(
        name as RouteName,
        { season: 'x', job: 'x', build: 'x', field: '0', name: 'x' },
        route.body === 'json' ? { nonsense: 1 } : undefined,
      );
      if (route.body === 'json') expect([name, response.status]).toEqual([name, 400]);
      else expect([name, response.status === 500]).toEqual([name, false]);
    }
  });

  it('by a mistake of ours give a sentence and no stack', async () => {
    let reported: unknown;
    asked.host = asked.made({
      bin: async () => {
        throw new TypeError('a mistake of ours');
      },
      reportFault: (caught) => {
        reported = caught;
        return '/reports/1.txt';
      },
    });
    const season = await asked.newSeason();
    expect(await refusal(asked.ask('removeSeason', season))).toEqual({
      status: 500,
      code: 'internal_fault',
      text: 'The program itself failed, which should not happen. Your season is as it was saved last. A report is in /reports/1.txt; please send it to whoever looks after the program.',
    });
    expect(reported).toBeInstanceOf(TypeError);
  });
});
