/** Routes of one open season: its document, its files, what is imported, built and written out. */
import { randomUUID } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { mkdir, rm, stat } from 'node:fs/promises';
import { basename, join, relative, sep } from 'node:path';
import { COLUMN_WIRE_TYPE, type ColumnArray, encodeColumns } from '../../core/column-wire.ts';
import { type DataError, failure, type Result, success } from '../../core/errors.ts';
import type { JobReply, SeasonReply } from '../../core/host-contract.ts';
import type { FieldPoints } from '../../core/result.ts';
import type { Season } from '../../core/season.ts';
import { encodeSeason, SEASON_FILE } from '../../core/season-file.ts';
import { writeFiles } from './atomic-write.ts';
import { diskFault } from './disk-faults.ts';
import { drawBoundary } from './draw-boundary.ts';
import { eventStream } from './events.ts';
import { writeFieldFiles } from './field-files.ts';
import { plainFileName } from './file-name.ts';
import { checkFiles } from './file-records.ts';
import type { Call, HostServices, RouteHandlers } from './host-services.ts';
import { hasEnded, type JobContext } from './jobs.ts';
import { outputFiles } from './output-files.ts';
import { previewOf, resultOf } from './preview.ts';
import { bytesReply, eventsReply, fileReply, reportReply, seasonReply } from './replies.ts';
import { notOpen, receivedFile } from './routes-seasons.ts';
import { writeSpan } from './season-card.ts';
import { fileInside } from './season-folder.ts';
import { INCOMING, type Session, sentFile, type Upload } from './season-sessions.ts';

type OpenRoute =
  | 'readSeason'
  | 'reloadSeason'
  | 'editSeason'
  | 'preview'
  | 'undo'
  | 'redo'
  | 'drawBoundary'
  | 'checkFiles'
  | 'readFile'
  | 'uploadFile'
  | 'importFiles'
  | 'build'
  | 'readResult'
  | 'readPoints'
  | 'exportResult'
  | 'readJob'
  | 'watchJob'
  | 'cancelJob';

/** Of a season folder, what may be read: the contract's folders and the sheet. */
const READABLE = ['logs', 'tickets', 'boundaries', 'out'];
/** Reports are pages; whatever their name, the sandbox that they are sent with lets nothing in them run. */
const REPORT = /^out\/(?:report|loads|[^/]+-report)\.html$/;

export const OPEN_SEASON_ROUTES: RouteHandlers<OpenRoute> = {
  readSeason: async (call) => {
    const session = sessionOf(call);
    if (!session.ok) return session;
    const outside = await session.value.store.outsideChange();
    const changed = outside === undefined ? [] : [{ ...outside, severity: 'mend' as const, count: 1 }];
    return success(seasonReply(session.value, [...session.value.store.notices, ...changed]));
  },

  reloadSeason: (call) => changed(call, ({ store }) => store.reload()),
  editSeason: (call) => changed(call, ({ store }) => store.edit(call.body.revision, call.body.edit)),
  preview: async (call) => {
    const session = sessionOf(call);
    return session.ok ? previewOf(call.host, session.value, call.body) : session;
  },
  undo: (call) => changed(call, ({ store }) => store.undo(call.body.revision)),
  redo: (call) => changed(call, ({ store }) => store.redo(call.body.revision)),
  drawBoundary: (call) => changed(call, (session) => drawBoundary(session, call.body)),

  checkFiles: async (call) => {
    const session = sessionOf(call);
    if (!session.ok) return session;
    const { store, verified } = session.value;
    const depth = call.query.get('depth') === 'full' ? 'full' : 'quick';
    return success({ files: await checkFiles(store.folder, store.document, depth, verified) });
  },

  readFile: async (call) => {
    const session = sessionOf(call);
    if (!session.ok) return session;
    const path = call.query.get('path') ?? '';
    if (!isReadable(path)) {
      const text = `"${path}" is not among the files of a season that can be read.`;
      return failure({ code: 'outside_folder', source: path, text });
    }
    const real = await fileInside(session.value.store.folder, path);
    if (!real.ok) return real;
    const pieces = createReadStream(real.value) as AsyncIterable<Uint8Array>;
    if (REPORT.test(path)) return reportReply(pieces);
    return fileReply(pieces, basename(path), (await stat(real.value)).size);
  },

  uploadFile: async (call) => {
    const session = sessionOf(call);
    if (!session.ok) return session;
    const { store, uploads } = session.value;
    if (store.read_only !== undefined) return failure(store.read_only);
    const upload = randomUUID();
    const folder = join(store.folder, INCOMING, upload);
    const source_name = plainFileName(call.steps.name, 'file');
    try {
      await mkdir(folder, { recursive: true });
    } catch (caught) {
      return failure(diskFault(caught, 'store the file that was sent', source_name));
    }
    const received = await receivedFile(call.request, join(folder, source_name));
    if (!received.ok) {
      await rm(folder, { recursive: true, force: true });
      return received;
    }
    uploads.set(upload, { path: join(folder, source_name), source_name, bytes: received.value });
    return success({ upload, source_name, bytes: received.value });
  },

  importFiles: async (call) => {
    const session = sessionOf(call);
    if (!session.ok) return session;
    const { host, body } = call;
    if (host.importer === undefined) {
      const text = 'This build of the program cannot import files yet.';
      return failure({ code: 'not_available', source: 'import', text });
    }
    const uploads: Upload[] = [];
    for (const id of body.uploads) {
      const upload = sentFile(session.value, id);
      if (!upload.ok) return upload;
      uploads.push(upload.value);
    }
    return success(startImport(host, session.value, { ...body, uploads }, body.uploads));
  },

  build: async (call) => {
    const session = sessionOf(call);
    if (!session.ok) return session;
    const { host, steps } = call;
    return success(host.jobs.start(steps.season, 'build', (context) => built(host, session.value, context)));
  },

  readResult: async (call) => {
    const session = sessionOf(call);
    if (!session.ok) return session;
    const { built } = session.value;
    if (built === undefined) return failure(noResult());
    return success(resultOf(built));
  },

  readPoints: async (call) => {
    const session = sessionOf(call);
    if (!session.ok) return session;
    const { built: last, preview } = session.value;
    if (last === undefined) return failure(noResult());
    const built = [last, preview].find((one) => one?.build === call.steps.build);
    if (built === undefined) {
      const text = 'There is a newer result than the one that these points were asked for; read it first.';
      return failure({ code: 'other_build', source: call.steps.build, text });
    }
    const points = built.run.result.points[Number(call.steps.field)];
    if (points === undefined) {
      const text = `The result has no field number ${call.steps.field}.`;
      return failure({ code: 'no_result', source: call.steps.field, text });
    }
    const columns = chosenColumns(points, call.query.get('columns'));
    if (!columns.ok) return columns;
    const about = { field: points.field, crop: points.crop, revision: built.revision };
    const block = encodeColumns({ about, rows: points.t_s.length, columns: columns.value });
    return bytesReply(block as Uint8Array<ArrayBuffer>, COLUMN_WIRE_TYPE);
  },

  exportResult: async (call) => {
    const session = sessionOf(call);
    if (!session.ok) return session;
    const { built, store } = session.value;
    if (built === undefined) return failure(noResult());
    const out = join(store.folder, 'out');
    const written =
      call.body.files === 'each_field'
        ? await writeFieldFiles(out, built.run, call.body)
        : await writeFiles(out, outputFiles(built.run, call.body.points));
    if (!written.ok) return written;
    const inside = (path: string) => relative(store.folder, path).split(sep).join('/');
    return success({ files: written.value.map(({ path, bytes }) => ({ path: inside(path), bytes })) });
  },

  readJob: async ({ host, steps }) => found(host.jobs.get(steps.job)),
  cancelJob: async ({ host, steps }) => found(host.jobs.cancel(steps.job)),

  watchJob: async ({ host, steps }) => {
    const job = found(host.jobs.get(steps.job));
    if (!job.ok) return job;
    return eventsReply(
      eventStream((sink) =>
        host.jobs.watch(steps.job, (reply) => {
          sink.send('job', reply);
          if (hasEnded(reply)) sink.end();
        }),
      ),
    );
  },
};

function sessionOf({ host, steps }: Pick<Call<'readSeason'>, 'host' | 'steps'>): Result<Session> {
  const session = host.sessions.get(steps.season);
  return session === undefined ? failure(notOpen()) : success(session);
}

/** Runs a change of the document and answers with the season as it is then. */
async function changed(
  call: Pick<Call<'readSeason'>, 'host' | 'steps'>,
  change: (session: Session) => Promise<Result<Season>>,
): Promise<Result<SeasonReply>> {
  const session = sessionOf(call);
  if (!session.ok) return session;
  const season = await change(session.value);
  return season.ok ? success(seasonReply(session.value, season.notices)) : season;
}

async function built(host: HostServices, session: Session, context: JobContext): Promise<Result<undefined>> {
  const { store } = session;
  const { revision } = store;
  const task = { folder: store.folder, sheet: encodeSeason(store.document) };
  const hooks = { onProgress: context.progress, signal: context.signal };
  const run = await host.pool.run(task, hooks);
  if (!run.ok) return run;
  session.built = { build: context.job, revision, run: run.value };
  session.preview = undefined;
  // Only a list is poorer without it; the disk may be full or read-only.
  if (store.read_only === undefined)
    await writeSpan(store.folder, run.value.result, store.layer).catch(() => undefined);
  return success(undefined, run.notices);
}

function startImport(
  host: HostServices,
  session: Session,
  wanted: Omit<Parameters<NonNullable<HostServices['importer']>['importFiles']>[0], 'store'>,
  uploads: readonly string[],
): JobReply {
  return host.jobs.start(session.key, 'import', async (context) => {
    const importer = host.importer;
    if (importer === undefined) throw new RangeError('an import was started without an importer');
    try {
      return await importer.importFiles({ ...wanted, store: session.store }, context);
    } finally {
      for (const id of uploads) {
        session.uploads.delete(id);
        await rm(join(session.store.folder, INCOMING, id), { recursive: true, force: true });
      }
    }
  });
}

/** The columns of a field's points that `names` lists with commas between, all when it is absent, as they lie in memory. */
function chosenColumns(points: FieldPoints, names: string | null): Result<Map<string, ColumnArray>> {
  const all = new Map<string, ColumnArray>();
  for (const [name, column] of Object.entries(points))
    if (ArrayBuffer.isView(column)) all.set(name, column as ColumnArray);
  if (names === null) return success(all);
  const chosen = new Map<string, ColumnArray>();
  for (const name of names.split(',')) {
    const column = all.get(name);
    if (column === undefined) {
      const text = `Points have no column "${name}"; they have ${[...all.keys()].join(', ')}.`;
      return failure({ code: 'bad_request', source: name, text });
    }
    chosen.set(name, column);
  }
  return success(chosen);
}

/** A path that goes straight to a file of the folders that may be read. */
function isReadable(path: string): boolean {
  if (path === SEASON_FILE) return true;
  const steps = path.split('/');
  return READABLE.includes(steps[0]) && steps.every((step) => step !== '' && step !== '.' && step !== '..');
}

function found(job: JobReply | undefined): Result<JobReply> {
  if (job !== undefined) return success(job);
  const text = 'There is no such work any more; start it again.';
  return failure({ code: 'no_such_job', source: 'job', text });
}

/** What is said where only a build would help. */
export function noResult(): DataError {
  return { code: 'no_result', source: 'season', text: 'This season has not been built yet; build it first.' };
}
