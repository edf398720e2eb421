/** From a season folder to its results, and from results to files: the way that the command and `npm start` share. */
import type { Notice } from '../../core/errors.ts';
import { failure, type Result, success } from '../../core/errors.ts';
import type { SeasonResult } from '../../core/result.ts';
import type { Season } from '../../core/season.ts';
import { encodeSeason } from '../../core/season-file.ts';
import type { Spread } from '../../core/spread.ts';
import type { CachedRun, ResultGrounds, SeasonCache } from './cache/season-cache.ts';
import { acrossThreads, readyThreadsFor } from './field-threads.ts';
import { changedFileNotices } from './file-records.ts';
import { knownHashes } from './known-hashes.ts';
import { generatedBy } from './program-version.ts';
import { listedPaths } from './season-files.ts';
import { type OpenSeason, openSeasonFolder } from './season-folder.ts';
import type { SeasonMemory } from './season-memory.ts';

export interface SeasonRun {
  readonly season: Season;
  readonly result: SeasonResult;
  /** Everything noticed, from the sheet to the last stage. */
  readonly notices: readonly Notice[];
  /** It was made earlier, and nothing that it rests on has changed. */
  readonly isFromCache?: true;
}

/** Told how far the work is: the stage's name and a share from 0 to 1 of that stage. */
export type ProgressListener = (stage: string, share: number) => void;

/** Reads the season in `path` and runs the whole chain on it; writes nothing. */
export async function runSeason(
  path: string,
  onProgress: ProgressListener,
  options: (folder: string) => RunOptions = () => ({}),
): Promise<Result<SeasonRun>> {
  const open = await openSeasonFolder(path);
  if (!open.ok) return open;
  return runOpenSeason(open.value, open.notices, onProgress, options(open.value.folder));
}

/** How a run is done, beyond what it is run on. */
export interface RunOptions {
  /** Asked between steps; true ends the run with `cancelled`. */
  readonly shouldStop?: () => boolean;
  /** What earlier runs of the season have left; absent for a run that is to start from nothing and leave nothing. */
  readonly memory?: SeasonMemory;
  /** Where results and readings are kept; the caller saves it. */
  readonly cache?: SeasonCache;
  /**
   * `trial`: the sheet is not that of the season, and what the season's own run left is to stay. `warming`: it is the memory
   * that is wanted, though the result is known.
   */
  readonly purpose?: 'result' | 'trial' | 'warming';
  /** Called with the name of each step that is not taken from memory. */
  readonly onStep?: (step: string) => void;
  /** Told what the result rests on, before it is there. */
  readonly onGrounds?: (grounds: ResultGrounds) => void;
  /** How the fields are shared out: among threads when absent. */
  readonly spread?: Spread;
}

/** Runs the whole chain on a season that is open already; `early` is what was noticed while opening it. */
export async function runOpenSeason(
  open: OpenSeason,
  early: readonly Notice[],
  onProgress: ProgressListener,
  options: RunOptions = {},
): Promise<Result<SeasonRun>> {
  const { memory, cache, purpose = 'result', shouldStop = () => false, onStep } = options;
  const { season } = open;
  const grounds = { sheet: encodeSeason(season), early };
  const looksUp = cache !== undefined && purpose === 'result' && memory?.hasRun !== true;
  if (looksUp) {
    const hashes = await knownHashes(open, cache);
    const known = hashes && (await cache.result({ ...grounds, hashes }));
    if (hashes !== undefined && known !== undefined) {
      options.onGrounds?.({ ...grounds, hashes });
      return fromCache(season, known, onProgress);
    }
  }
  // a result from the cache needs neither of these, and is there sooner without them
  const { readSources } = await import('./sources.ts');
  const { runPipeline } = await import('../../core/pipeline.ts');
  if (memory?.hasRun !== true && options.spread === undefined) readyThreadsFor(season.fields.length);
  const sources = await readSources(open, { memory: memory?.sources, cache });
  if (!sources.ok) return failure(sources.error, [...early, ...sources.notices]);
  const { hashes } = sources.value;
  options.onGrounds?.({ ...grounds, hashes });
  if (looksUp) {
    const known = await cache.result({ ...grounds, hashes });
    if (known !== undefined) return fromCache(season, known, onProgress);
  }
  const read = [...early, ...sources.notices, ...changedFileNotices(season, hashes)];
  const memo = purpose === 'trial' ? memory?.memo.trial : memory?.memo;
  const context = {
    progress: onProgress,
    shouldStop,
    generated_by: generatedBy(),
    memo,
    spread: options.spread ?? acrossThreads,
    onStep,
  };
  const run = runPipeline(season, sources.value, context);
  const notices = [...read, ...run.notices];
  if (!run.ok) return failure(run.error, notices);
  const result = withNotices(run.value, read);
  if (purpose !== 'trial') {
    memory?.memo.forgetUnasked();
    memory?.sources.keepOnly(listedPaths(season));
    if (memory !== undefined) memory.hasRun = true;
    cache?.rememberResult({ ...grounds, hashes }, { result, notices });
  }
  return success({ season, result, notices }, notices);
}

function fromCache(season: Season, { result, notices }: CachedRun, onProgress: ProgressListener) {
  onProgress('done', 1);
  const run: SeasonRun = { season, result, notices, isFromCache: true };
  return success(run, notices);
}

/** The contract's warnings hold what was noticed while reading, too. */
function withNotices(result: SeasonResult, early: readonly Notice[]): SeasonResult {
  const warnings = early.map(({ code, text }) => ({ code, text }));
  return { ...result, summary: { ...result.summary, warnings: [...warnings, ...result.summary.warnings] } };
}
