/**
 * Many seasons, a few at a time, each built by a process of its own. What is there already for the same inputs is left as it is, so that
 * whatever was interrupted goes on with what is missing; one that fails stops no other.
 */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Result } from '../../../core/errors.ts';
import type { Summary } from '../../../core/result.ts';
import { encodeSeason } from '../../../core/season-file.ts';
import { SeasonCache } from '../cache/season-cache.ts';
import { hashFile } from '../file-hash.ts';
import { knownHashes } from '../known-hashes.ts';
import { listedPaths } from '../season-files.ts';
import { fileInside, type OpenSeason, openSeasonFolder } from '../season-folder.ts';
import type { SeasonOutputs } from './build-messages.ts';
import { builtKey, hasRecord, isBuilt } from './built-record.ts';
import { figuresOf, type SeasonFigures } from './season-figures.ts';
import { buildInProcess } from './season-process.ts';
import type { FoundSeason } from './season-search.ts';

/** What has become of a season. */
export interface SeasonOutcome extends FoundSeason {
  readonly out: string;
  readonly state: 'built' | 'unchanged' | 'failed' | 'stopped';
  /** Why it failed, in a sentence. */
  readonly why?: string;
  /** The stack of a mistake of ours. */
  readonly fault?: string;
  /** Where there is a result. */
  readonly figures?: SeasonFigures;
  readonly remarks: readonly string[];
  readonly seconds: number;
}

export interface ManySeasons extends SeasonOutputs {
  readonly seasons: readonly FoundSeason[];
  /** A folder for the results of each. */
  readonly outs: readonly string[];
  /** Processes at work at any time. */
  readonly jobs: number;
  /** Also what is there already. */
  readonly again: boolean;
  readonly usesCache: boolean;
}

export interface ManyHooks {
  readonly onProgress: (season: FoundSeason, stage: string, share: number) => void;
  readonly onEnd: (outcome: SeasonOutcome) => void;
  /** Aborted: what is being built is stopped, and nothing is begun any more. */
  readonly signal: AbortSignal;
}

/** Outcomes in the order of the seasons. */
export async function buildAll(many: ManySeasons, hooks: ManyHooks): Promise<SeasonOutcome[]> {
  const outcomes: SeasonOutcome[] = [];
  let next = 0;
  const work = async () => {
    while (next < many.seasons.length) {
      const place = next++;
      outcomes[place] = await outcomeOf(many, place, hooks);
      hooks.onEnd(outcomes[place]);
    }
  };
  await Promise.all(Array.from({ length: Math.min(many.jobs, many.seasons.length) }, work));
  return outcomes;
}

type Ending = Omit<SeasonOutcome, keyof FoundSeason | 'out' | 'seconds'>;

async function outcomeOf(many: ManySeasons, place: number, hooks: ManyHooks): Promise<SeasonOutcome> {
  const begun_ms = performance.now();
  const found = many.seasons[place];
  const out = many.outs[place];
  const ended = hooks.signal.aborted
    ? ({ state: 'stopped', remarks: [] } as const)
    : await endingOf(many, found, out, hooks).catch(
        (caught: unknown): Ending => ({
          state: 'failed',
          why: 'the program itself failed',
          fault: caught instanceof Error ? (caught.stack ?? caught.message) : String(caught),
          remarks: [],
        }),
      );
  return { ...found, out, ...ended, seconds: (performance.now() - begun_ms) / 1000 };
}

async function endingOf(
  many: ManySeasons,
  found: FoundSeason,
  out: string,
  { onProgress, signal }: ManyHooks,
): Promise<Ending> {
  onProgress(found, 'looking', 0);
  const open = await openSeasonFolder(found.folder);
  if (!open.ok) return { state: 'failed', why: open.error.text, remarks: [] };
  if (!many.again && (await isThere(open, many, out)))
    return { state: 'unchanged', figures: await figuresIn(out, open.value), remarks: [] };
  const { points, eachField, exports, usesCache } = many;
  const isOneOfMany = Math.min(many.jobs, many.seasons.length) > 1;
  const order = { folder: found.folder, out, points, eachField, exports, usesCache, isOneOfMany };
  const end = await buildInProcess(order, {
    onProgress: (stage, share) => onProgress(found, stage, share),
    signal,
  });
  switch (end.kind) {
    case 'built':
      return { state: 'built', figures: await figuresIn(out, open.value), remarks: end.remarks };
    case 'failed':
      return { state: 'failed', why: end.text, remarks: [] };
    case 'fault':
      return { state: 'failed', why: 'the program itself failed', fault: end.stack, remarks: [] };
    case 'stopped':
      return { state: 'stopped', remarks: [] };
  }
}

/** Whether the results are there already; files that cannot be read are left for the build to name. */
async function isThere(
  open: Result<OpenSeason> & { readonly ok: true },
  many: ManySeasons,
  out: string,
): Promise<boolean> {
  if (!(await hasRecord(out))) return false;
  const hashes = await hashesOf(open.value, many.usesCache);
  if (hashes === undefined) return false;
  const sheet = encodeSeason(open.value.season);
  return isBuilt(out, builtKey({ sheet, early: open.notices, hashes }, many));
}

/** SHA-256 of every listed file, by path; without reading it where the cache knows it. */
async function hashesOf(
  open: OpenSeason,
  usesCache: boolean,
): Promise<ReadonlyMap<string, string> | undefined> {
  const known = usesCache ? await knownHashes(open, new SeasonCache(open.folder)) : undefined;
  if (known !== undefined) return known;
  const hashes = new Map<string, string>();
  for (const path of listedPaths(open.season)) {
    const real = await fileInside(open.folder, path);
    const hash = real.ok ? await hashFile(real.value).catch(() => undefined) : undefined;
    if (hash === undefined) return undefined;
    hashes.set(path, hash.sha256);
  }
  return hashes;
}

async function figuresIn(out: string, { season }: OpenSeason): Promise<SeasonFigures> {
  return figuresOf(season, JSON.parse(await readFile(join(out, 'summary.json'), 'utf8')) as Summary);
}
