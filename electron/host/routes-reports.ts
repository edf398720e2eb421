/** The route of reports: a job makes them of the last build, into the season's `out/`. */
import { join, relative, sep } from 'node:path';
import { failure, type Result, success } from '../../core/errors.ts';
import type { ReportChoice } from '../../core/export/report-choice.ts';
import type { RouteHandlers } from './host-services.ts';
import { cancelled } from './job-messages.ts';
import type { JobContext } from './jobs.ts';
import { keptSurface } from './kept-surfaces.ts';
import { PdfThread } from './pdf/pdf-thread.ts';
import { writeReports } from './report-files.ts';
import { noResult } from './routes-season.ts';
import { notOpen } from './routes-seasons.ts';
import type { SeasonRun } from './run-season.ts';
import type { Session } from './season-sessions.ts';

export const REPORT_ROUTES: RouteHandlers<'makeReports'> = {
  makeReports: async ({ host, steps, body }) => {
    const session = host.sessions.get(steps.season);
    if (session === undefined) return failure(notOpen());
    const { built, store } = session;
    if (built === undefined) return failure(noResult());
    if (store.read_only !== undefined) return failure(store.read_only);
    const job = host.jobs.start(steps.season, 'report', (context) =>
      reported(session, built.run, body, context),
    );
    return success(job);
  },
};

/** Of the result as it was when the job was asked for. */
async function reported(
  { store }: Session,
  run: SeasonRun,
  choice: ReportChoice,
  { progress, signal, reported: tell }: JobContext,
): Promise<Result<undefined>> {
  const pdfs = new PdfThread();
  const written = await writeReports(join(store.folder, 'out'), run, choice, {
    folder: store.folder,
    layer: store.layer,
    signal,
    onProgress: progress,
    surfaceOf: ({ season, result }, place, how) =>
      keptSurface(result, place, season.settings?.surface ?? {}, how),
    pdfOf: (report, paper) => pdfs.written(report, paper),
  }).finally(() => pdfs.close());
  if (!written.ok) return signal.aborted ? cancelled(written.notices) : written;
  const inside = (path: string) => relative(store.folder, path).split(sep).join('/');
  const files = written.value.map(({ path, bytes }) => ({ path: inside(path), bytes }));
  tell({ files, notices: written.notices });
  return success(undefined);
}
