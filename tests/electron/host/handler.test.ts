import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeEach, describe, expect, it } from 'vitest';
import { decodeColumns } from '../../../core/column-wire.ts';
import { success } from '../../../core/errors.ts';
import {
  type Bodies,
  type ErrorReply,
  type ImportReport,
  type JobReply,
  pathTo,
  type Replies,
  ROUTES,
  type RouteName,
  type SeasonReply,
} from '../../../core/host-contract.ts';
import { createHost, type Host, type HostOptions } from '../../../electron/host/host.ts';
import { importFile } from '../../../electron/host/import-file.ts';
import { WorkerPool } from '../../../electron/host/worker-pool.ts';
import { MINIMAL_SHEET } from '../../core/season-file-fixture.ts';
import { TOP } from '../../structure/source-files.ts';
import { smallSeason } from './small-season.ts';

const ORIGIN = 'http://127.0.0.1:1';
const pool = new WorkerPool();
const hosts: Host[] = [];
let scratch: string;
let host: Host;

beforeEach(() => {
  scratch = realpathSync(mkdtempSync(join(tmpdir(), 'sheaflight-handler-')));
  host = made();
});

afterEach(async () => {
  for (const one of hosts.splice(0)) {
    for (const { key } of one.services.sessions.all()) await one.services.jobs.cancelSeason(key);
    await one.services.sessions.closeAll();
  }
  rmSync(scratch, { recursive: true, force: true });
});

afterAll(() => pool.close());

function made(options: HostOptions = {}): Host {
  const environment = { HOME: scratch, XDG_DATA_HOME: join(scratch, 'data') };
  const one = createHost({ environment, home: join(scratch, 'home'), pool, ...options });
  hosts.push(one);
  return one;
}

type Steps = Readonly<Partial<Record<'season' | 'job' | 'build' | 'field' | 'name', string>>>;

function ask(route: RouteName, steps: Steps = {}, body?: unknown, query = ''): Promise<Response> {
  const init: RequestInit = { method: ROUTES[route].method };
  if (body instanceof Uint8Array)
    Object.assign(init, { body, headers: { 'content-type': 'application/octet-stream' } });
  else if (body !== undefined)
    Object.assign(init, { body: JSON.stringify(body), headers: { 'content-type': 'application/json' } });
  return host.handler(
    new Request(`${ORIGIN}${pathTo(route, steps as Record<string, string>)}${query}`, init),
  );
}

type BodyOf<K> = K extends keyof Bodies ? Bodies[K] : undefined;

async function reply<K extends keyof Replies & RouteName>(
  route: K,
  steps: Steps = {},
  body?: BodyOf<K> | Uint8Array,
): Promise<Replies[K]> {
  const response = await ask(route, steps, body);
  const found = await response.json();
  if (response.status !== 200) throw new Error(`${response.status} ${JSON.stringify(found)}`);
  return found as Replies[K];
}

async function refusal(response: Response | Promise<Response>): Promise<ErrorReply & { status: number }> {
  const answered = await response;
  const { code, text } = (await answered.json()) as ErrorReply;
  expect(Object.keys({ code, text })).toEqual(['code', 'text']);
  expect(text).not.toMatch(/\bat .*:\d+:\d+/);
  return { status: answered.status, code, text };
}

function newSeason(name = 'Kestrel'): Promise<SeasonReply> {
  return reply('createSeason', {}, { name, units: 'us' });
}

/** Follows a job to its end by its events. */
async function followed(job: string): Promise<JobReply[]> {
  const response = await ask('watchJob', { job });
  expect(response.headers.get('content-type')).toBe('text/event-stream; charset=utf-8');
  const text = await response.text();
  return text
    .split('\n\n')
    .filter((event) => event.startsWith('event: job\n'))
    .map((event) => JSON.parse(event.slice('event: job\ndata: '.length)) as JobReply);
}

describe('the library', () => {
  it('makes, lists, renames, copies and closes seasons', async () => {
    const season = await newSeason();
    expect(season).toMatchObject({
      folder: join(scratch, 'home/kestrel'),
      document: { name: 'Kestrel', units: 'us', machines: [] },
      history: { entries: [{ name: 'Opened' }], at: 0 },
      notices: [],
    });
    const named = await reply('renameSeason', season, {
      revision: season.revision,
      name: 'Kestrel Flats',
      folder_name: 'flats',
    });
    expect(named).toMatchObject({ folder: join(scratch, 'home/flats'), document: { name: 'Kestrel Flats' } });
    await reply('copySeason', { season: named.season }, { name: 'Second try' });
    await reply('closeSeason', { season: named.season });
    const home = await reply('readHome');
    expect(home).toMatchObject({ folder: join(scratch, 'home'), chosen_by: 'option', elsewhere: [] });
    expect(home.seasons.map(({ name, is_open }) => [name, is_open])).toEqual([
      ['Kestrel Flats', false],
      ['Second try', true],
    ]);
  });

  it('opens a season anywhere, once, and lists it apart', async () => {
    mkdirSync(join(scratch, 'stick/a'), { recursive: true });
    writeFileSync(join(scratch, 'stick/a/season.json'), MINIMAL_SHEET);
    symlinkSync(join(scratch, 'stick'), join(scratch, 'link'));
    const [first, second] = await Promise.all([
      reply('openSeason', {}, { folder: join(scratch, 'stick/a') }),
      reply('openSeason', {}, { folder: join(scratch, 'link/a/season.json') }),
    ]);
    expect(second.season).toBe(first.season);
    const home = await reply('readHome');
    expect(home.elsewhere.map(({ folder }) => folder)).toEqual([join(scratch, 'stick/a')]);
  });

  it('removes to the bin', async () => {
    const season = await newSeason();
    expect(await reply('removeSeason', season)).toEqual({ text: 'kestrel is in the bin.' });
    expect(readdirSync(join(scratch, 'home'))).toEqual([]);
    expect(readdirSync(join(scratch, 'data/Trash/files/kestrel')).sort()).toEqual([
      'boundaries',
      'logs',
      'season.json',
      'tickets',
    ]);
    expect(await refusal(ask('removeSeason', season))).toMatchObject({ status: 404, code: 'no_such_season' });
  });

  it('does not remove what another program has open', async () => {
    const season = await newSeason();
    const other = host;
    host = made();
    expect(await refusal(ask('removeSeason', season))).toMatchObject({ status: 409, code: 'open_elsewhere' });
    expect(await refusal(ask('openSeason', {}, { folder: season.folder }))).toMatchObject({ status: 409 });
    expect(existsSync(season.folder)).toBe(true);
    host = other;
    await reply('closeSeason', season);
  });

  it('packs and unpacks', async () => {
    const season = await newSeason();
    const packed = await ask('packSeason', season);
    expect(packed.headers.get('content-disposition')).toBe("attachment; filename*=UTF-8''kestrel.zip");
    const zip = new Uint8Array(await packed.arrayBuffer());
    const back = await reply('unpackSeason', { name: 'kestrel.zip' }, zip);
    expect(back).toMatchObject({ folder: join(scratch, 'home/kestrel-2'), document: { name: 'Kestrel' } });
    expect(readdirSync(join(scratch, 'home')).sort()).toEqual(['kestrel', 'kestrel-2']);
    expect(await refusal(ask('unpackSeason', { name: 'x.zip' }, new Uint8Array(9)))).toMatchObject({
      status: 422,
      code: 'damaged_zip',
    });
    expect(readdirSync(join(scratch, 'home')).sort()).toEqual(['kestrel', 'kestrel-2']);
  });

  it('can be put elsewhere, for the next time too', async () => {
    expect(await refusal(ask('setHome', {}, { folder: 'relative' }))).toMatchObject({ code: 'not_absolute' });
    await reply('setHome', {}, { folder: join(scratch, 'new/place') });
    expect(await reply('readHome')).toMatchObject({
      folder: join(scratch, 'new/place'),
      chosen_by: 'preference',
    });
    host = made({ home: undefined });
    expect((await reply('readHome')).folder).toBe(join(scratch, 'new/place'));
  });

  it('opens a copy of the sample season, and the same copy the next time', async () => {
    const sample = readdirSync(join(TOP, 'sample-data')).find((name) =>
      existsSync(join(TOP, 'sample-data', name, 'season.json')),
    );
    const first = await reply('openSample');
    expect(first.folder).toBe(join(scratch, 'home', sample ?? ''));
    await reply('closeSeason', first);
    expect((await reply('openSample')).folder).toBe(first.folder);
    expect(readdirSync(join(scratch, 'home'))).toHaveLength(1);
  });

  it('brings a broken season back', async () => {
    const season = await newSeason();
    await reply('editSeason', season, {
      revision: season.revision,
      edit: { kind: 'rename_season', name: 'B' },
    });
    await reply('closeSeason', season);
    writeFileSync(join(season.folder, 'season.json'), '{');
    expect((await reply('readHome')).seasons[0].problem).toMatchObject({ can_restore: true });
    const back = await reply('restoreSeason', {}, { folder: season.folder });
    expect(back.document.name).toBe('Kestrel');
    expect(back.notices.map(({ code }) => code)).toEqual(['restored']);
  });
});

describe('an open season', () => {
  it('is edited, undone and redone by revision', async () => {
    const season = await newSeason();
    const field = { name: 'Home', crop: 'corn' };
    const edited = await reply('editSeason', season, {
      revision: season.revision,
      edit: { kind: 'add_field', field },
    });
    expect(edited.document.fields).toEqual([field]);
    const stale = ask('editSeason', season, {
      revision: season.revision,
      edit: { kind: 'rename_season', name: 'X' },
    });
    expect(await refusal(stale)).toMatchObject({ status: 409, code: 'stale_revision' });
    const undone = await reply('undo', season, { revision: edited.revision });
    expect(undone).toMatchObject({ revision: season.revision, history: { at: 0 } });
    expect((await reply('redo', season, { revision: undone.revision })).revision).toBe(edited.revision);
    const sheet = JSON.parse(readFileSync(join(season.folder, 'season.json'), 'utf8'));
    expect(sheet.fields).toEqual([field]);
  });

  it('tells of a change by another program, and reloads it', async () => {
    const season = await newSeason();
    writeFileSync(join(season.folder, 'season.json'), MINIMAL_SHEET);
    expect((await reply('readSeason', season)).notices.map(({ code }) => code)).toEqual(['changed_outside']);
    expect((await reply('reloadSeason', season)).document.name).toBe('Kestrel Flats 2026');
    expect((await reply('readSeason', season)).notices).toEqual([]);
  });

  it('gives its own files and no others', async () => {
    const season = await newSeason();
    mkdirSync(join(season.folder, 'cache'));
    for (const path of ['logs/a.log', 'cache/x', 'notes.txt', 'out/report.html']) {
      mkdirSync(join(season.folder, path, '..'), { recursive: true });
      writeFileSync(join(season.folder, path), '<script>1</script>');
    }
    writeFileSync(join(scratch, 'secret.txt'), 'secret');
    symlinkSync(join(scratch, 'secret.txt'), join(season.folder, 'logs/link.log'));
    const read = (path: string) => ask('readFile', season, undefined, `?path=${encodeURIComponent(path)}`);
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
    const season = await newSeason();
    writeFileSync(join(season.folder, 'logs/a.log'), '1,1\n');
    expect((await reply('checkFiles', season)).files).toEqual([
      { path: 'logs/a.log', listed_as: null, state: 'unrecorded', checked_by: 'presence', text: null },
    ]);
  });
});

describe('importing', () => {
  it('is not there without an importer, and says so', async () => {
    const season = await newSeason();
    const body = { revision: season.revision, paths: [], uploads: [] };
    expect(await refusal(ask('importFiles', season, body))).toMatchObject({
      status: 501,
      code: 'not_available',
    });
  });

  it('hands paths and uploads on, follows the work, and clears uploads away', async () => {
    const report: ImportReport = { files: [], gaps: [], overlaps: [], questions: [], notices: [] };
    host = made({
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
    const season = await newSeason();
    const upload = await reply(
      'uploadFile',
      { season: season.season, name: '../b.log' },
      new TextEncoder().encode('1,1\n'),
    );
    expect(upload).toMatchObject({ source_name: 'b.log', bytes: 4 });
    const job = await reply('importFiles', season, {
      revision: season.revision,
      paths: ['/stick/a.log'],
      uploads: [upload.upload],
    });
    const news = await followed(job.job);
    expect(news.at(-1)).toMatchObject({ state: 'done', fraction: 1, report });
    const after = await reply('readSeason', season);
    expect(after.document.files?.map(({ path, source_name }) => [path, source_name])).toEqual([
      ['logs/b.log', 'b.log'],
    ]);
    expect(readdirSync(join(season.folder, 'cache/incoming'))).toEqual([]);
    const again = { revision: after.revision, paths: [], uploads: [upload.upload] };
    expect(await refusal(ask('importFiles', season, again))).toMatchObject({ code: 'no_such_upload' });
  });
});

describe('building', () => {
  async function openSmall(): Promise<SeasonReply> {
    smallSeason(join(scratch, 'small'));
    return reply('openSeason', {}, { folder: join(scratch, 'small') });
  }

  it('runs in a worker, with progress, and gives summary and points', async () => {
    const season = await openSmall();
    expect(await refusal(ask('readResult', season))).toMatchObject({ status: 404, code: 'no_result' });
    const job = await reply('build', season);
    expect(job).toMatchObject({ kind: 'build', state: 'queued', season: season.season });
    const news = await followed(job.job);
    expect(news.at(-1)).toMatchObject({ state: 'done', fraction: 1, error: null });
    expect(new Set(news.map(({ stage }) => stage))).toContain('reading logs');
    const fractions = news.map(({ fraction }) => fraction);
    expect(fractions).toEqual([...fractions].sort((a, b) => a - b));

    const result = await reply('readResult', season);
    expect(result).toMatchObject({ build: job.job, revision: season.revision, summary: { season: 'Small' } });
    expect(result.points[0].rows).toBeGreaterThan(10);
    const points = await ask('readPoints', { season: season.season, build: job.job, field: '0' });
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
    const lit = block.value.columns.get('longitude_deg');
    expect(lit?.every((degrees) => Math.abs(degrees + 93.6) < 0.1)).toBe(true);

    const card = (await reply('readHome')).elsewhere[0];
    expect(card.first_utc).toMatch(/^2026-10-03T/);
    expect(
      await refusal(ask('readPoints', { season: season.season, build: 'old', field: '0' })),
    ).toMatchObject({
      status: 409,
      code: 'other_build',
    });
    const exported = await reply('exportResult', season, { points: 'all' });
    expect(exported.files.map(({ path }) => path)).toEqual([
      'out/points.geojson',
      'out/summary.json',
      'out/report.html',
    ]);
  });

  it('ends with the sentence when there is nothing to build', async () => {
    const season = await newSeason();
    const news = await followed((await reply('build', season)).job);
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
    await reply('editSeason', season, {
      revision: season.revision,
      edit: { kind: 'record_files', files: [record] },
    });
    await followed((await reply('build', season)).job);
    expect((await reply('readResult', season)).notices.map(({ code }) => code)).toContain('changed_file');
  });

  it('of the latest request wins, and can be cancelled', async () => {
    const sample = await reply('openSample');
    const first = await reply('build', sample);
    const second = await reply('build', sample);
    expect((await followed(first.job)).at(-1)).toMatchObject({
      state: 'cancelled',
      error: { code: 'cancelled' },
    });
    await reply('cancelJob', { job: second.job });
    expect((await followed(second.job)).at(-1)).toMatchObject({ state: 'cancelled' });
    expect(await refusal(ask('readResult', sample))).toMatchObject({ code: 'no_result' });
  });
});

describe('requests that are not understood', () => {
  it('are refused with status, code and sentence', async () => {
    const raw = (path: string, init?: RequestInit) => host.handler(new Request(`${ORIGIN}${path}`, init));
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
    const season = await newSeason();
    expect(
      await refusal(ask('editSeason', season, { revision: 'x', edit: { kind: 'explode' } })),
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
    expect(await refusal(ask('readSeason', { season: '../../etc' }))).toMatchObject({
      status: 404,
      code: 'not_open',
    });
    expect(await refusal(ask('packSeason', { season: '0123456789abcdef' }))).toMatchObject({
      status: 404,
      code: 'no_such_season',
    });
    expect(await refusal(ask('watchJob', { job: 'x' }))).toMatchObject({ status: 404, code: 'no_such_job' });
  });

  it('are answered by every route of the contract, and every body that there is has its schema', async () => {
    for (const [name, route] of Object.entries(ROUTES)) {
      const response = await ask(
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
    host = made({
      bin: async () => {
        throw new TypeError('a mistake of ours');
      },
      reportFault: (caught) => {
        reported = caught;
        return '/reports/1.txt';
      },
    });
    const season = await newSeason();
    expect(await refusal(ask('removeSeason', season))).toEqual({
      status: 500,
      code: 'internal_fault',
      text: 'The program itself failed, which should not happen. Your season is as it was saved last. A report is in /reports/1.txt; please send it to whoever looks after the program.',
    });
    expect(reported).toBeInstanceOf(TypeError);
  });
});
