/** What the host read of a season's files, and how the chain looks at it. */
import type { Result } from '../errors.ts';
import type { LogEntry, LogFile, TextFile } from '../read/season-inputs.ts';
import type { Season } from '../season.ts';
import type { EnteredChatter } from '../signal/beam-reading.ts';
import { chatterOf, type LogReading } from './log-reader.ts';

/** By path as written in season.json. */
export interface SeasonSources {
  /** Logs as their reader left them (`createLogReader`). */
  readonly logs: ReadonlyMap<string, Result<LogReading>>;
  /** Thresholds of chatter with which they were read. */
  readonly chatter: EnteredChatter;
  /** Tickets, boundaries and logs that are read through a column mapping, as text. */
  readonly texts: ReadonlyMap<string, string>;
  /** SHA-256, hex, of each file as on disk. */
  readonly hashes: ReadonlyMap<string, string>;
}

/** The season's log entries with their files. Throws RangeError when the host left one out or read it with other thresholds. */
export function logEntries(season: Season, sources: SeasonSources): LogEntry[] {
  const { bridge_lit_ms, drop_dark_ms } = chatterOf(season);
  const read = sources.chatter;
  if (read.bridge_lit_ms !== bridge_lit_ms || read.drop_dark_ms !== drop_dark_ms)
    throw new RangeError('The logs were read with other thresholds of chatter than the season has.');
  return season.logs.map(({ machine, field, tick_zero_utc, mapping: id, files }) => {
    const mapping = season.mappings?.find((one) => one.id === id);
    const logFile = (path: string): LogFile => {
      if (id !== undefined) return textFile(path, sources);
      const found = sources.logs.get(path);
      if (found === undefined) throw new RangeError(`The log "${path}" was not read.`);
      return { path, read: found };
    };
    return { machine, field, tick_zero_utc, mapping, files: files.map(logFile) };
  });
}

/** A file that is listed as text. Throws RangeError when the host left it out. */
export function textFile(path: string, sources: SeasonSources): TextFile {
  const text = sources.texts.get(path);
  if (text === undefined) throw new RangeError(`The file "${path}" was not read.`);
  return { path, text };
}

/** Rows of a sheet with no more than the keys that a step looks at. */
export function only<Row extends object, Key extends keyof Row>(
  rows: readonly Row[],
  ...keys: readonly Key[]
): Pick<Row, Key>[] {
  return rows.map((row) => onlyOf(row, ...keys));
}

export function onlyOf<Row extends object, Key extends keyof Row>(
  row: Row,
  ...keys: readonly Key[]
): Pick<Row, Key> {
  return Object.fromEntries(keys.filter((key) => key in row).map((key) => [key, row[key]])) as Pick<Row, Key>;
}
