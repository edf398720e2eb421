/** `sheaflight build`: a season folder in, points, summary and report out. */
import { join } from 'node:path';
import { success } from '../../core/errors.ts';
import { summaryText } from '../../core/export/summary-json.ts';
import { writeFiles } from '../host/atomic-write.ts';
import { SeasonCache } from '../host/cache/season-cache.ts';
import { writeFieldFiles } from '../host/field-files.ts';
import { isUsable, outputFiles } from '../host/output-files.ts';
import { runSeason } from '../host/run-season.ts';
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
  const files = outputFiles(run.value, choices.allPoints ? 'all' : 'kept');
  const written = await stoppable(async (signal) => {
    const options = { layer: streams.layer, signal };
    const together = await writeFiles(out, files, options);
    if (!together.ok || !choices.eachField) return together;
    const points = choices.allPoints ? 'all' : 'kept';
    const apart = await writeFieldFiles(out, run.value, { points }, options);
    return apart.ok ? success([...together.value, ...apart.value]) : apart;
  });
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
