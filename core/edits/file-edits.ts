/** Edits of what a season lists: log files, tickets, mappings, and the records of what was copied in. */
import { type Result, success } from '../errors.ts';
import type { ColumnMappingSheet, FileRecord, LogSheet, Season } from '../season.ts';
import { type Change, counted, notThere } from './change.ts';
import type { JsonObject } from './merge-patch.ts';
import { mergePatch } from './merge-patch.ts';
import type { LogAssignment, Patch } from './season-edit.ts';

/** Files join the entry that says the same of its files; a new entry comes last. */
export function addLogs(
  season: Season,
  files: readonly string[],
  said: LogAssignment & { readonly machine: string },
): Result<Change> {
  const machine = season.machines.find(({ id }) => id === said.machine);
  return success({
    season: { ...season, logs: withFiles(season.logs, files, entryOf(said, files)) },
    name: `${counted(files.length, 'log file')} of ${machine?.name ?? said.machine} added`,
  });
}

/** Says something else of files that are listed; what the patch does not name stays as it is for each file. */
export function assignLogs(
  season: Season,
  files: readonly string[],
  change: Patch<LogAssignment>,
): Result<Change> {
  const missing = firstUnlisted(season, files);
  if (missing !== undefined) return notThere('log file', missing, listedLogs(season));
  let logs = without(season.logs, files);
  for (const log of season.logs) {
    const moved = log.files.filter((file) => files.includes(file));
    if (moved.length === 0) continue;
    const said = mergePatch({ ...log, files: moved }, change as JsonObject) as unknown as LogSheet;
    logs = withFiles(logs, moved, said);
  }
  const what = Object.entries(change)
    .map(([key, to]) => `${key.replace('_utc', '').replaceAll('_', ' ')} ${to ?? 'as found'}`)
    .join(', ');
  const name = `${named(files, 'log file')}: ${what === '' ? 'nothing changed' : what}`;
  return success({ season: { ...season, logs }, name });
}

export function removeLogs(season: Season, files: readonly string[]): Result<Change> {
  const missing = firstUnlisted(season, files);
  if (missing !== undefined) return notThere('log file', missing, listedLogs(season));
  return success({
    season: { ...season, logs: without(season.logs, files) },
    name: `${named(files, 'log file')} taken off the list`,
  });
}

export function addTickets(season: Season, files: readonly string[]): Result<Change> {
  const listed = season.tickets ?? [];
  const added = files.filter((file) => !listed.includes(file));
  return success({
    season: { ...season, tickets: [...listed, ...added] },
    name: `${named(files, 'ticket file')} added`,
  });
}

export function removeTickets(season: Season, files: readonly string[]): Result<Change> {
  const listed = season.tickets ?? [];
  const missing = files.find((file) => !listed.includes(file));
  if (missing !== undefined) return notThere('ticket file', missing, listed);
  return success({
    season: { ...season, tickets: listed.filter((file) => !files.includes(file)) },
    name: `${named(files, 'ticket file')} taken off the list`,
  });
}

export function setMapping(season: Season, mapping: ColumnMappingSheet): Result<Change> {
  const mappings = season.mappings ?? [];
  const index = mappings.findIndex(({ id }) => id === mapping.id);
  return success({
    season: { ...season, mappings: index < 0 ? [...mappings, mapping] : mappings.with(index, mapping) },
    name: `Column mapping ${mapping.id} ${index < 0 ? 'added' : 'changed'}`,
  });
}

/** Refused by the season's checks while a log is read through it. */
export function removeMapping(season: Season, id: string): Result<Change> {
  const mappings = season.mappings ?? [];
  if (!mappings.some((mapping) => mapping.id === id)) {
    return notThere(
      'column mapping',
      id,
      mappings.map((mapping) => mapping.id),
    );
  }
  return success({
    season: { ...season, mappings: mappings.filter((mapping) => mapping.id !== id) },
    name: `Column mapping ${id} removed`,
  });
}

export function recordFiles(season: Season, records: readonly FileRecord[]): Result<Change> {
  const byPath = new Map((season.files ?? []).map((record) => [record.path, record]));
  for (const record of records) byPath.set(record.path, record);
  return success({
    season: { ...season, files: [...byPath.values()] },
    name: `${named(
      records.map(({ path }) => path),
      'file',
    )} copied in`,
  });
}

export function forgetFiles(season: Season, files: readonly string[]): Result<Change> {
  const records = season.files ?? [];
  const known = records.map(({ path }) => path);
  const missing = files.find((file) => !known.includes(file));
  if (missing !== undefined) return notThere('record of a file', missing, known);
  return success({
    season: { ...season, files: records.filter(({ path }) => !files.includes(path)) },
    name: `Record of ${named(files, 'file')} removed`,
  });
}

function entryOf(said: LogAssignment & { readonly machine: string }, files: readonly string[]): LogSheet {
  const { machine, field, mapping, tick_zero_utc } = said;
  return {
    machine,
    files,
    ...(field === undefined ? {} : { field }),
    ...(mapping === undefined ? {} : { mapping }),
    ...(tick_zero_utc === undefined ? {} : { tick_zero_utc }),
  };
}

/** The list with `files` in the entry that says of them what `entry` says. */
function withFiles(logs: readonly LogSheet[], files: readonly string[], entry: LogSheet): LogSheet[] {
  const wanted = sayingOf(entry);
  const index = logs.findIndex((log) => sayingOf(log) === wanted);
  if (index < 0) return [...logs, { ...entry, files }];
  return logs.with(index, { ...logs[index], files: [...logs[index].files, ...files] });
}

/** All that an entry says beside its files, comparable. */
function sayingOf({ files: _, ...said }: LogSheet): string {
  return JSON.stringify(Object.entries(said).sort(([a], [b]) => (a < b ? -1 : 1)));
}

function without(logs: readonly LogSheet[], files: readonly string[]): LogSheet[] {
  const gone = new Set(files);
  return logs.flatMap((log) => {
    const kept = log.files.filter((file) => !gone.has(file));
    if (kept.length === log.files.length) return [log];
    return kept.length === 0 ? [] : [{ ...log, files: kept }];
  });
}

function listedLogs(season: Season): string[] {
  return season.logs.flatMap((log) => log.files);
}

function firstUnlisted(season: Season, files: readonly string[]): string | undefined {
  const listed = new Set(listedLogs(season));
  return files.find((file) => !listed.has(file));
}

/** "logs/a.log" or "3 log files" */
function named(files: readonly string[], what: string): string {
  return files.length === 1 ? files[0] : counted(files.length, what);
}
