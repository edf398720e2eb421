/** `sheaflight report`: reports of fields and of the season, as HTML and PDF. */
import { join } from 'node:path';
import { grouped } from '../../core/export/report/figures.ts';
import type { ReportChoice } from '../../core/export/report-choice.ts';
import { SeasonCache } from '../host/cache/season-cache.ts';
import { freshSurface } from '../host/export/layer-sets.ts';
import { isUsable } from '../host/output-files.ts';
import { writeReports } from '../host/report-files.ts';
import { runSeason } from '../host/run-season.ts';
import { EXIT, type ExitCode } from './exit-codes.ts';
import { printable } from './printable.ts';
import { refuse } from './refuse.ts';
import { stoppable } from './stoppable.ts';
import { progressLine, type Streams } from './streams.ts';

export interface ReportChoices {
  /** `<season folder>/out` when absent. */
  readonly out?: string;
  readonly field?: readonly string[];
  readonly season?: boolean;
  readonly as: ReportChoice['formats'];
  readonly units?: ReportChoice['units'];
  readonly paper?: ReportChoice['paper'];
  readonly map?: ReportChoice['map'];
  readonly quiet?: boolean;
  /** False with `--no-cache`. */
  readonly cache?: boolean;
}

export async function report(folder: string, choices: ReportChoices, streams: Streams): Promise<ExitCode> {
  const progress = progressLine(streams);
  let cache: SeasonCache | undefined;
  const run = await runSeason(folder, progress.show, (found) => {
    if (choices.cache !== false) cache = new SeasonCache(found, streams.layer);
    return { cache };
  });
  if (!run.ok) {
    progress.wipe();
    return refuse(run, streams);
  }
  const written = await stoppable((signal) =>
    writeReports(choices.out ?? join(folder, 'out'), run.value, choiceOf(choices), {
      folder,
      layer: streams.layer,
      signal,
      onProgress: progress.show,
      surfaceOf: freshSurface,
    }),
  );
  progress.wipe();
  for (const { text } of written.notices) streams.err(`sheaflight: ${printable(text)}\n`);
  if (!written.ok) return refuse({ ...written, notices: [] }, streams);
  if (!choices.quiet)
    for (const { path, bytes } of written.value) streams.out(`${path}  ${grouped(bytes, 0)} bytes\n`);
  const unkept = await cache?.save();
  if (unkept !== undefined) streams.err(`sheaflight: ${unkept.text}\n`);
  if (isUsable(run.value)) return EXIT.done;
  streams.err(
    'sheaflight: no point could be kept, so that the reports have no yields; "sheaflight build" says why.\n',
  );
  return EXIT.nothing_usable;
}

/** What is named is written; without a name everything is. */
function choiceOf({ field, season, as, units, paper, map }: ReportChoices): ReportChoice {
  const isOpen = field === undefined && season !== true;
  return {
    fields: isOpen ? 'all' : (field ?? []),
    season: isOpen || season === true,
    formats: as,
    ...(units && { units }),
    ...(paper && { paper }),
    ...(map && { map }),
  };
}
