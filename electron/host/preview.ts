/** What an edit would do: the chain run on the season as it would be, kept in memory only, with nothing written. */
import { applyEdit } from '../../core/edits.ts';
import { failure, type Result, success } from '../../core/errors.ts';
import type { EditBody, PreviewReply, ResultReply } from '../../core/host-contract.ts';
import type { Season } from '../../core/season.ts';
import { encodeSeason } from '../../core/season-file.ts';
import type { HostServices } from './host-services.ts';
import type { JobContext } from './jobs.ts';
import type { BuiltSeason, Session } from './season-sessions.ts';

/** Runs the chain with the edit made. A later preview of the season stops this one, which ends with `overtaken`. */
export async function previewOf(
  host: HostServices,
  session: Session,
  { revision, edit }: EditBody,
): Promise<Result<PreviewReply>> {
  const { store } = session;
  if (revision !== store.revision) {
    const text = 'The season has changed since you saw it, so that this was not tried. Try it again.';
    return failure({ code: 'stale_revision', source: 'season.json', text });
  }
  const change = applyEdit(store.document, edit);
  if (!change.ok) return change;
  const { season, name } = change.value;
  const { job } = host.jobs.start(session.key, 'preview', (context) => tried(host, session, season, context));
  const ended = await host.jobs.ended(job);
  const { preview } = session;
  if (ended?.state === 'failed' && ended.error !== null)
    return failure({ code: ended.error.code, source: 'season.json', text: ended.error.text });
  if (ended?.state !== 'done' || preview?.build !== job) {
    const text = 'Something else was tried or changed meanwhile.';
    return failure({ code: 'overtaken', source: 'season.json', text });
  }
  return success({ ...resultOf(preview), name });
}

async function tried(
  host: HostServices,
  session: Session,
  season: Season,
  context: JobContext,
): Promise<Result<undefined>> {
  const { store } = session;
  const { revision } = store;
  const task = { folder: store.folder, sheet: encodeSeason(season), purpose: 'trial' as const };
  const run = await host.pool.run(task, { onProgress: context.progress, signal: context.signal });
  if (!run.ok) return run;
  session.preview = { build: context.job, revision, run: run.value };
  return success(undefined);
}

/** A build as the window is told of it. */
export function resultOf({ build, revision, run: { result, notices } }: BuiltSeason): ResultReply {
  return {
    build,
    revision,
    summary: result.summary,
    notices,
    epoch_utc_s: result.epoch_utc_s,
    machines: result.machines,
    loads: result.loads,
    points: result.points.map(({ field, crop, t_s }) => ({ field, crop, rows: t_s.length })),
  };
}
