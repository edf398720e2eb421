/** Looks into all files of an import, those of the season and those that want in, two at a time. */
import { stat } from 'node:fs/promises';
import { type DataError, failure, type Notice, type Result, success } from '../../core/errors.ts';
import type { ImportCandidate, SeasonFile } from '../../core/import/import-plan.ts';
import type { Season } from '../../core/season.ts';
import { SEASON_FILE } from '../../core/season-file.ts';
import { shownText } from '../../core/shown-text.ts';
import type { ImportSource } from './import-sources.ts';
import type { ImportWatch, ImportWish } from './importer.ts';
import type { InspectionMemory } from './inspection-memory.ts';
import { type InspectionThreads, twoAtATime } from './inspection-threads.ts';
import { listedPaths } from './season-files.ts';
import { fileInside, type OpenSeason } from './season-folder.ts';

/** Whose threads look, and who watches. */
export interface Looking {
  readonly threads: InspectionThreads;
  readonly watch: ImportWatch;
}

/** What came of looking into one file; nothing where it could not be read, which a notice tells. */
type Looked<File> = Result<File | undefined>;

/** The files that the season lists, looked into as they lie there; one that is missing is noticed. */
export async function inspectListed(
  { folder, season }: OpenSeason,
  memory: InspectionMemory,
  { threads, watch }: Looking,
): Promise<Result<SeasonFile[]>> {
  const paths = listedPaths(season).filter((path) => path !== SEASON_FILE);
  const { mappings = [] } = season;
  let done = 0;
  const looked = await twoAtATime(paths, async (path): Promise<Looked<SeasonFile>> => {
    watch.progress('looking at the season', (0.2 * done++) / paths.length);
    const real = await fileInside(folder, path);
    if (!real.ok) return passedOver(real.error);
    const mappingId = season.logs.find((log) => log.files.includes(path))?.mapping;
    const mapping = mappings.find(({ id }) => id === mappingId);
    const by = { mappings, ...(mapping === undefined ? {} : { mapping }) };
    const record = season.files?.find((one) => one.path === path);
    const known = await memory.recall(real.value, record, by);
    if (known !== undefined) return success({ path, ...known });
    const before = await stat(real.value);
    const found = await threads.inspect(real.value, path, { ...by, shouldStop: watch.shouldStop });
    if (!found.ok) return passedOver(found.error);
    memory.keep(real.value, before, found.value, by);
    return success({ path, ...found.value });
  });
  return together(looked);
}

/** The files that want in, in their order. */
export async function inspectSources(
  sources: readonly ImportSource[],
  season: Season,
  wish: ImportWish,
  { threads, watch }: Looking,
): Promise<Result<ImportCandidate[]>> {
  const sizes = await Promise.all(sources.map(({ path }) => sizeOf(path)));
  const all = Math.max(
    1,
    sizes.reduce((sum, size) => sum + size, 0),
  );
  let read = 0;
  const looked = await twoAtATime(sources, async (source): Promise<Looked<ImportCandidate>> => {
    const tell = (bytes: number) => {
      read += bytes;
      const share = Math.min(1, read / all);
      watch.progress(`looking into ${shownText(source.source_name)}`, 0.2 + 0.5 * share);
    };
    tell(0);
    const mapping = wish.mappings?.[source.source_name] ?? wish.mappings?.['*'];
    const found = await threads.inspect(source.path, source.id, {
      mappings: season.mappings ?? [],
      ...(mapping === undefined ? {} : { mapping }),
      parts: source.parts,
      shouldStop: watch.shouldStop,
      onRead: tell,
    });
    return found.ok ? success({ id: source.id, ...found.value }) : passedOver(found.error);
  });
  return together(looked);
}

async function sizeOf(path: string): Promise<number> {
  return stat(path).then(
    ({ size }) => size,
    () => 0,
  );
}

/** A file that cannot be read is passed over with a notice; a stop is a stop. */
function passedOver(error: DataError): Result<undefined> {
  if (error.code === 'cancelled') return failure(error);
  return success(undefined, [{ ...error, severity: 'mend', count: 1 }]);
}

/** Those that could be looked into, in their order; fails where one was stopped. */
function together<File>(looked: readonly Looked<File>[]): Result<File[]> {
  const files: File[] = [];
  const notices: Notice[] = [];
  for (const one of looked) {
    if (!one.ok) return one;
    if (one.value !== undefined) files.push(one.value);
    notices.push(...one.notices);
  }
  return success(files, notices);
}
