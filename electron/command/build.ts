/** `sheaflight build`: a season folder in, points, summary and report out. */
import { join } from 'node:path';
import { summaryText } from '../../core/export/summary-json.ts';
import { SeasonCache } from '../host/cache/season-cache.ts';
import { isUsable } from '../host/output-files.ts';
import { runSeason } from '../host/run-season.ts';
import { writeOutputs } from '../host/season-outputs.ts';
import { EXIT, type ExitCode } from './exit-codes.ts';
import { refuse } from './refuse.ts';
import { stoppable } from './stoppable.ts';
import { progressLine, type Streams } from './streams.ts';
import { totalsText } from './totals-text.ts';

export interface BuildChoices {
  /** `<season folder>/out` when absent. */
  readonly out?: string;
  readonly allPoints?: boolean;
  /** Also a folder for each field. */
  readonly eachField?: boolean;
  readonly json?: boolean;
  readonly quiet?: boolean;
  /** False with `--no-cache`: everything is computed, and nothing is kept in the season's cache. */
  readonly cache?: boolean;
}

export async function build(folder: string, choices: BuildChoices, streams: Streams): Promise<ExitCode> {
  const progress = progressLine(streams);
  let cache: SeasonCache | undefined;
  const run = await runSeason(folder, progress.show, (found) => {
    if (choices.cache !== false) cache = new SeasonCache(found, streams.layer);
    return { cache };
  });
  progress.wipe();
  if (!run.ok) return refuse(run, streams);

  const out = choices.out ?? join(folder, 'out');
  const outputs = {
    points: choices.allPoints ? 'all' : 'kept',
    eachField: choices.eachField === true,
  } as const;
  const written = await stoppable((signal) =>
    writeOutputs(out, run.value, outputs, { layer: streams.layer, signal }),
  );
  if (!written.ok) return refuse(written, streams);

  if (choices.json) streams.out(summaryText(run.value.result.summary));
  else if (!choices.quiet) {
    streams.out(totalsText(run.value));
    for (const file of written.value) streams.out(`${file.path}\n`);
  }
  const unkept = await cache?.save();
  if (unkept !== undefined) streams.err(`sheaflight: ${unkept.text}\n`);
  if (isUsable(run.value)) return EXIT.done;
  streams.err(
    `sheaflight: no point could be kept, so the map is empty; the notices in ${join(out, 'report.html')} say why.\n`,
  );
  return EXIT.nothing_usable;
}
