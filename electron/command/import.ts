/** `sheaflight import`: files and folders into a season, with a report of what came of each. */
import { readFile, stat } from 'node:fs/promises';
import { basename, dirname, resolve } from 'node:path';
import { failure, type Result, success } from '../../core/errors.ts';
import type { ImportReport } from '../../core/host-contract.ts';
import { importText } from '../../core/import/report-text.ts';
import { parseJsonText } from '../../core/json-text.ts';
import { nearestWord } from '../../core/nearest-word.ts';
import type { ColumnMappingSheet, Season } from '../../core/season.ts';
import { SEASON_FILE } from '../../core/season-file.ts';
import { columnMappingSchema } from '../../core/season-schema.ts';
import { shownText } from '../../core/shown-text.ts';
import {
  carryOutImport,
  type ImportWatch,
  type ImportWish,
  importIntoSeason,
  type PreparedImport,
  prepareImport,
  reportOfPrepared,
} from '../host/importer.ts';
import { makeSeasonFolder, newSheet } from '../host/new-season.ts';
import { openSeasonFolder } from '../host/season-folder.ts';
import { SeasonStore } from '../host/season-store.ts';
import { decodeText } from '../host/text-decoding.ts';
import { EXIT, type ExitCode } from './exit-codes.ts';
import { refuse } from './refuse.ts';
import { progressLine, type Streams } from './streams.ts';

export interface ImportCommandChoices {
  readonly machine?: string;
  readonly field?: string;
  readonly crop?: string;
  /** A file, or the id of a mapping of the season. */
  readonly mapping?: string;
  readonly dryRun?: boolean;
  readonly json?: boolean;
}

export async function importCommand(
  folder: string,
  paths: readonly string[],
  choices: ImportCommandChoices,
  streams: Streams,
): Promise<ExitCode> {
  const given = basename(folder) === SEASON_FILE ? dirname(folder) : folder;
  const isThere = (await stat(given).catch(() => undefined)) !== undefined;
  const progress = progressLine(streams);
  const stop = new AbortController();
  const onInterrupt = () => stop.abort();
  process.once('SIGINT', onInterrupt);
  const watch = { progress: progress.show, shouldStop: () => stop.signal.aborted };
  try {
    const done = await (choices.dryRun
      ? look(given, isThere, paths, choices, watch)
      : take(given, isThere, paths, choices, watch, streams));
    progress.wipe();
    if (!done.ok) return refuse(done, streams);
    const text = importText(done.value, choices.dryRun ? 'look' : 'done');
    streams.out(choices.json ? `${JSON.stringify(done.value, null, 2)}\n` : text);
    return codeOf(done.value);
  } finally {
    process.off('SIGINT', onInterrupt);
  }
}

/** 1 when nothing of it is in the season, be it from now or from before. */
function codeOf({ files }: ImportReport): ExitCode {
  const useful = files.some(({ outcome }) => outcome === 'imported' || outcome === 'already_there');
  return useful ? EXIT.done : EXIT.nothing_usable;
}

async function look(
  folder: string,
  isThere: boolean,
  paths: readonly string[],
  choices: ImportCommandChoices,
  watch: ImportWatch,
): Promise<Result<ImportReport>> {
  const prepared = await prepare(folder, isThere, paths, choices, watch);
  return prepared.ok ? success(reportOfPrepared(prepared.value)) : prepared;
}

async function prepare(
  folder: string,
  isThere: boolean,
  paths: readonly string[],
  choices: ImportCommandChoices,
  watch: ImportWatch,
): Promise<Result<PreparedImport>> {
  const open = isThere
    ? await openSeasonFolder(folder)
    : success({ folder: resolve(folder), season: newSheet(basename(resolve(folder))) });
  if (!open.ok) return open;
  const wish = await wishOf(paths, choices, open.value.season, isThere);
  return wish.ok ? prepareImport(open.value, wish.value, watch) : wish;
}

/** Of a season that is not there the folder is made only when there is something to put into it. */
async function take(
  folder: string,
  isThere: boolean,
  paths: readonly string[],
  choices: ImportCommandChoices,
  watch: ImportWatch,
  { layer }: Streams,
): Promise<Result<ImportReport>> {
  const ahead = isThere ? undefined : await prepare(folder, false, paths, choices, watch);
  if (ahead?.ok === false) return ahead;
  if (ahead !== undefined) {
    const report = reportOfPrepared(ahead.value);
    if (codeOf(report) !== EXIT.done) return success(report);
    const made = await makeSeasonFolder(folder);
    if (!made.ok) return made;
  }
  const opened = await SeasonStore.open(folder, { layer });
  if (!opened.ok) return opened;
  const store = opened.value;
  try {
    if (ahead !== undefined) return await carryOutImport(store, ahead.value, watch);
    const wish = await wishOf(paths, choices, store.document, true);
    return wish.ok ? await importIntoSeason(store, wish.value, watch) : wish;
  } finally {
    await store.close();
  }
}

async function wishOf(
  paths: readonly string[],
  { machine, field, crop, mapping }: ImportCommandChoices,
  season: Season,
  isOld: boolean,
): Promise<Result<ImportWish>> {
  const unknown = isOld ? unknownMachine(machine, season) : undefined;
  if (unknown !== undefined) return unknown;
  const given = mapping === undefined ? undefined : await mappingFrom(mapping, season);
  if (given?.ok === false) return given;
  return success({
    paths,
    ...(machine === undefined ? {} : { machine }),
    ...(field === undefined ? {} : { field }),
    ...(crop === undefined ? {} : { crop }),
    ...(given === undefined ? {} : { mappings: { '*': given.value } }),
  });
}

/** A slip in an id must not make a new machine of a season that has some. */
function unknownMachine(wanted: string | undefined, { machines }: Season): Result<never> | undefined {
  const words = machines.flatMap(({ id, name }) => [id, name]);
  if (wanted === undefined || machines.length === 0) return undefined;
  if (words.some((word) => word.toLowerCase() === wanted.toLowerCase())) return undefined;
  const near = nearestWord(wanted, words);
  const hint =
    near === undefined ? `it has ${words.map((word) => `"${word}"`).join(', ')}` : `did you mean "${near}"?`;
  const text = `the season has no machine "${shownText(wanted)}"; ${hint}`;
  return failure({ code: 'no_such_machine', source: '--machine', text });
}

/** A mapping of the season by its id, else one in a JSON file (alone, or as the report of an earlier import holds it). */
async function mappingFrom(wanted: string, season: Season): Promise<Result<ColumnMappingSheet>> {
  const known = season.mappings?.find(({ id }) => id === wanted);
  if (known !== undefined) return success(known);
  const bytes = await readFile(wanted).catch(() => undefined);
  if (bytes === undefined) {
    const ids = (season.mappings ?? []).map(({ id }) => id);
    const near = nearestWord(wanted, ids);
    const hint =
      near === undefined
        ? 'give a JSON file, or the id of a mapping in season.json'
        : `did you mean "${near}"?`;
    const text = `there is no column mapping "${shownText(wanted)}", neither as a file nor in the season; ${hint}`;
    return failure({ code: 'no_such_mapping', source: '--mapping', text });
  }
  const json = parseJsonText(decodeText(bytes).text, wanted);
  if (!json.ok) return json;
  const held = json.value.value;
  const named =
    typeof held === 'object' && held !== null && !('id' in held) ? { ...held, id: stemOf(wanted) } : held;
  const checked = columnMappingSchema.safeParse(named);
  if (checked.success) return success(checked.data);
  const [issue] = checked.error.issues;
  const text = `${shownText(wanted)} is no column mapping: ${issue.path.join('.') || 'it'}: ${issue.message}; see "mappings" in season.json for the form.`;
  return failure({ code: 'bad_mapping', source: wanted, text });
}

function stemOf(path: string): string {
  return basename(path).replace(/\.json$/i, '') || 'mapping';
}
