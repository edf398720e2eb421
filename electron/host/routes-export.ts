/** The routes of exported layers: a job writes them, and what was chosen is remembered. */
import { join, relative, sep } from 'node:path';
import { failure, type Result, success } from '../../core/errors.ts';
import type { LayerExportChoice } from '../../core/export/layers/layer-choice.ts';
import { EXPORT_FOLDER, writeLayers } from './export/layer-export.ts';
import type { RouteHandlers } from './host-services.ts';
import { cancelled } from './job-messages.ts';
import type { JobContext } from './jobs.ts';
import { keptSurface } from './kept-surfaces.ts';
import { noResult } from './routes-season.ts';
import { notOpen } from './routes-seasons.ts';
import type { SeasonRun } from './run-season.ts';
import type { Session } from './season-sessions.ts';

export const EXPORT_ROUTES: RouteHandlers<'exportLayers' | 'readExportChoice'> = {
  exportLayers: async ({ host, steps, body }) => {
    const session = host.sessions.get(steps.season);
    if (session === undefined) return failure(notOpen());
    const { built, store } = session;
    if (built === undefined) return failure(noResult());
    if (store.read_only !== undefined) return failure(store.read_only);
    const { fields: _, ...choice } = body;
    // A dialog that has forgotten what was chosen is no reason to write nothing.
    await host.rememberExport(choice);
    const job = host.jobs.start(steps.season, 'export', (context) =>
      exported(session, built.run, body, context),
    );
    return success(job);
  },

  readExportChoice: async ({ host }) => success({ choice: await host.exportChoice() }),
};

/** Of the result as it was when the job was asked for. */
async function exported(
  { store }: Session,
  run: SeasonRun,
  choice: LayerExportChoice,
  { progress, signal, exported: tell }: JobContext,
): Promise<Result<undefined>> {
  const written = await writeLayers(join(store.folder, ...EXPORT_FOLDER.split('/')), run, choice, {
    layer: store.layer,
    signal,
    onProgress: progress,
    surfaceOf: ({ season, result }, place, how) =>
      keptSurface(result, place, season.settings?.surface ?? {}, how),
  });
  if (!written.ok) return signal.aborted ? cancelled(written.notices) : written;
  const { files, features } = written.value;
  const inside = (path: string) => relative(store.folder, path).split(sep).join('/');
  tell({
    files: files.map(({ path, bytes }) => ({ path: inside(path), bytes })),
    features,
    notices: written.notices,
  });
  return success(undefined);
}
