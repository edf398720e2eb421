/**
 * Everything that a season sheet lists, read: logs by machine, tickets, boundaries, and what was found in each file. A file
 * that cannot be used is a notice as long as others can; the first such error is the answer when nothing can.
 */
import { type DataError, failure, type Notice, type Result, success } from '../errors.ts';
import type { Summary } from '../result.ts';
import type { LogSheet, Season } from '../season.ts';
import type { HintedRun } from '../signal/placed-run.ts';
import { type BoundaryPolygons, readBoundary } from './boundaries.ts';
import { readMappedLog } from './column-mapping.ts';
import type { FlowLogReading, TallyReading, TickLogReading } from './logger-run.ts';
import { recogniseFile } from './recognise.ts';
import { joinRuns } from './runs.ts';
import { readTallyLog } from './tally-log.ts';
import { createTickLogReader } from './tick-log.ts';
import type { Ticket } from './ticket.ts';
import { readTickets } from './tickets.ts';
import { timeFromIso } from './utc.ts';

/** What the host read, by path as written in season.json. */
export interface SeasonSources {
  /** Logs after decompression. */
  readonly logs: ReadonlyMap<string, Uint8Array>;
  /** Tickets, boundaries and logs that are read through a column mapping, as text. */
  readonly texts: ReadonlyMap<string, string>;
  /** SHA-256, hex, of each file as on disk. */
  readonly hashes: ReadonlyMap<string, string>;
}

/** One machine's logs, by kind. */
export interface MachineLogs {
  /** Index into the season's machines. */
  readonly machine: number;
  readonly runs: readonly HintedRun[];
  readonly tallies: readonly { readonly reading: TallyReading; readonly field: number }[];
  readonly flows: readonly { readonly reading: FlowLogReading; readonly field: number }[];
}

export interface SeasonInputs {
  readonly logs: readonly MachineLogs[];
  readonly tickets: readonly Ticket[];
  /** By field; undefined where the sheet names none. */
  readonly boundaries: readonly (BoundaryPolygons | undefined)[];
  readonly inputs: Summary['inputs'];
  readonly notices: readonly Notice[];
}

/** Reads all. `progress` is called with the share of files done. Throws RangeError when the host left out a listed file. */
export function readSeasonInputs(
  season: Season,
  sources: SeasonSources,
  progress: (fraction: number) => void,
): Result<SeasonInputs> {
  const reader = new InputReader(season, sources, progress);
  const logs = season.machines.map((_, machine) => reader.machineLogs(machine));
  const tickets = (season.tickets ?? []).flatMap((path) => reader.tickets(path));
  const boundaries = season.fields.map(({ boundary }) =>
    boundary === undefined ? undefined : reader.boundary(boundary),
  );
  const usable = logs.some(({ runs, tallies, flows }) => runs.length + tallies.length + flows.length > 0);
  if (!usable || reader.fatal !== undefined) {
    const error = reader.fatal ?? reader.errors[0] ?? noLogs();
    return failure(error, reader.notices);
  }
  const notices = [...reader.notices, ...reader.errors.map(asNotice)];
  return success({ logs, tickets, boundaries, inputs: reader.inputs, notices });
}

class InputReader {
  readonly notices: Notice[] = [];
  readonly inputs: Summary['inputs'][number][] = [];
  readonly errors: DataError[] = [];
  /** An error that no other file can make up for: wrong totals would come of going on. */
  fatal: DataError | undefined;
  readonly #season: Season;
  readonly #sources: SeasonSources;
  readonly #progress: (fraction: number) => void;
  readonly #files: number;

  constructor(season: Season, sources: SeasonSources, progress: (fraction: number) => void) {
    this.#season = season;
    this.#sources = sources;
    this.#progress = progress;
    this.#files = sources.hashes.size;
  }

  machineLogs(machine: number): MachineLogs {
    const found = {
      runs: [] as HintedRun[],
      tallies: [] as MachineLogs['tallies'][number][],
      flows: [] as MachineLogs['flows'][number][],
    };
    for (const log of this.#season.logs) {
      if (log.machine !== this.#season.machines[machine].id) continue;
      const field = this.#season.fields.findIndex(({ name }) => name === log.field);
      const readings: TickLogReading[] = [];
      for (const path of log.files) {
        const kind = log.mapping !== undefined ? 'mapped' : this.#kindOf(path);
        if (kind === 'mapped') {
          const reading = this.#mapped(path, log);
          if (reading !== undefined) found.flows.push({ reading, field });
        } else if (kind === 'tally_log') {
          const reading = this.#take(path, readTallyLog(asciiText(this.#bytes(path)), path));
          if (reading !== undefined) found.tallies.push({ reading, field });
        } else {
          const reading = this.#tickLog(path);
          if (reading !== undefined) readings.push(reading);
        }
      }
      const tick_zero_utc_s = timeFromIso(log.tick_zero_utc ?? '')?.utc_s ?? Number.NaN;
      found.runs.push(...joinRuns(readings).map((run) => ({ run, field, tick_zero_utc_s })));
    }
    return { machine, ...found };
  }

  tickets(path: string): readonly Ticket[] {
    const result = readTickets(this.#text(path), path);
    this.notices.push(...result.notices);
    this.#record(path, linesOf(this.#text(path)), []);
    if (result.ok) return result.value.tickets;
    this.fatal ??= result.error;
    return [];
  }

  boundary(path: string): BoundaryPolygons | undefined {
    const result = readBoundary(this.#text(path), path);
    this.notices.push(...result.notices);
    this.#record(path, linesOf(this.#text(path)), []);
    if (result.ok) return result.value;
    this.fatal ??= result.error;
    return undefined;
  }

  #kindOf(path: string): string {
    return recogniseFile(path, this.#bytes(path).subarray(0, 65536)).kind;
  }

  #mapped(path: string, log: LogSheet): FlowLogReading | undefined {
    const mapping = this.#season.mappings?.find(({ id }) => id === log.mapping);
    if (mapping === undefined)
      throw new RangeError(`Log "${path}" names the mapping "${log.mapping}", which is not there.`);
    return this.#take(path, readMappedLog(this.#text(path), path, mapping));
  }

  #tickLog(path: string): TickLogReading | undefined {
    const reader = createTickLogReader(path);
    reader.push(this.#bytes(path));
    return this.#take(path, reader.finish());
  }

  /** The reading, its damage recorded; undefined, and an error kept, when there is none. */
  #take<T extends { lines: number; damage: TickLogReading['damage'] }>(
    path: string,
    result: Result<T>,
  ): T | undefined {
    this.notices.push(...result.notices);
    if (!result.ok) {
      this.errors.push(result.error);
      this.#record(path, 0, []);
      return undefined;
    }
    this.#record(path, result.value.lines, result.value.damage);
    return result.value;
  }

  #record(path: string, lines: number, damage: TickLogReading['damage']): void {
    const sha256 = this.#sources.hashes.get(path);
    if (sha256 === undefined) throw new RangeError(`No hash was given for "${path}".`);
    const counts = Object.fromEntries(damage.map(({ kind, count }) => [kind, count]));
    this.inputs.push({ path, sha256, lines, damage: counts });
    this.#progress(this.inputs.length / Math.max(1, this.#files));
  }

  #bytes(path: string): Uint8Array {
    const bytes = this.#sources.logs.get(path);
    if (bytes === undefined) throw new RangeError(`The log "${path}" was not read.`);
    return bytes;
  }

  #text(path: string): string {
    const text = this.#sources.texts.get(path);
    if (text === undefined) throw new RangeError(`The file "${path}" was not read.`);
    return text;
  }
}

/** Tally logs are plain ASCII; bytes beyond it become the character of the same number. */
function asciiText(bytes: Uint8Array): string {
  const CHUNK = 8192;
  let text = '';
  for (let at = 0; at < bytes.length; at += CHUNK)
    text += String.fromCharCode(...bytes.subarray(at, at + CHUNK));
  return text;
}

/** A last line counts whether or not a line end follows it. */
function linesOf(text: string): number {
  const ends = text.split('\n').length - 1;
  return text === '' || text.endsWith('\n') ? ends : ends + 1;
}

function asNotice(error: DataError): Notice {
  return {
    code: error.code,
    severity: 'mend',
    source: error.source,
    line: error.line,
    count: 1,
    text: error.text,
  };
}

function noLogs(): DataError {
  return {
    code: 'no_logs',
    source: 'season.json',
    text: 'season.json: "logs" lists no file, so there is nothing to build. Add the logger\'s files to "logs".',
  };
}
