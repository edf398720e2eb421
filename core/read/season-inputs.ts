/**
 * Everything that a season sheet lists, read: logs by machine, tickets, boundaries, and what was found in each file. A file
 * that cannot be used is a notice as long as others can.
 */
import { type Damage, type DataError, failure, type Notice, type Result, success } from '../errors.ts';
import type { LogReading } from '../pipeline/log-reader.ts';
import type { Summary } from '../result.ts';
import type { ColumnMappingSheet } from '../season.ts';
import type { HintedRun } from '../signal/placed-run.ts';
import { type BoundaryPolygons, readBoundary } from './boundaries.ts';
import { readMappedLog } from './column-mapping.ts';
import type { FlowLogReading, TallyReading, TickLogReading } from './logger-run.ts';
import { outlineLength_km } from './outline-length.ts';
import { withoutRepeatedTickets } from './repeated-tickets.ts';
import { joinRuns } from './runs.ts';
import type { Ticket } from './ticket.ts';
import { readTickets } from './tickets.ts';
import { timeFromIso } from './utc.ts';

/** One machine's logs, by kind. */
export interface MachineLogs {
  /** Index into the season's machines. */
  readonly machine: number;
  readonly runs: readonly HintedRun[];
  readonly tallies: readonly { readonly reading: TallyReading; readonly field: number }[];
  readonly flows: readonly { readonly reading: FlowLogReading; readonly field: number }[];
}

/** What was found in a file. */
export interface FileFindings {
  readonly path: string;
  readonly lines: number;
  readonly damage: readonly Damage[];
}

/** Logs of all machines; at least one holds something. */
export interface LogInputs {
  readonly logs: readonly MachineLogs[];
  readonly files: readonly FileFindings[];
}

/** A log entry of the sheet with its files: as read by the logs' reader, or as text where the entry names a mapping. */
export interface LogEntry {
  readonly machine: string;
  /** Field named for the entry. */
  readonly field?: string;
  readonly tick_zero_utc?: string;
  readonly mapping?: ColumnMappingSheet;
  readonly files: readonly LogFile[];
}

export type LogFile =
  | { readonly path: string; readonly read: Result<LogReading> }
  | { readonly path: string; readonly text: string };

/**
 * Logs by machine. Errors of single files are notices; the first of them is the answer when no file can be used, and
 * `no_logs` when there is none.
 */
export function gatherLogs(
  entries: readonly LogEntry[],
  machines: readonly string[],
  fields: readonly string[],
): Result<LogInputs> {
  const gatherer = new LogGatherer();
  const logs = machines.map((id, machine) => ({
    machine,
    ...gatherer.gather(
      entries.filter((entry) => entry.machine === id),
      fields,
    ),
  }));
  const { files, errors, notices } = gatherer;
  const usable = logs.some(({ runs, tallies, flows }) => runs.length + tallies.length + flows.length > 0);
  if (!usable) return failure(errors[0] ?? noLogs(), notices);
  return success({ logs, files }, [...notices, ...errors.map(asNotice)]);
}

class LogGatherer {
  readonly files: FileFindings[] = [];
  readonly errors: DataError[] = [];
  readonly notices: Notice[] = [];

  gather(entries: readonly LogEntry[], fields: readonly string[]): Omit<MachineLogs, 'machine'> {
    const found = {
      runs: [] as HintedRun[],
      tallies: [] as MachineLogs['tallies'][number][],
      flows: [] as MachineLogs['flows'][number][],
    };
    for (const entry of entries) {
      const field = fields.indexOf(entry.field ?? '');
      const readings: TickLogReading<HintedRun['run']['beam']>[] = [];
      for (const file of entry.files) {
        if ('text' in file) {
          const reading = this.#take(file.path, readMapped(file, entry.mapping));
          if (reading !== undefined) found.flows.push({ reading, field });
          continue;
        }
        const log = this.#take(file.path, withFindings(file.read));
        if (log?.kind === 'runs') readings.push(log.reading);
        else if (log?.kind === 'tallies') found.tallies.push({ reading: log.reading, field });
      }
      const tick_zero_utc_s = timeFromIso(entry.tick_zero_utc ?? '')?.utc_s ?? Number.NaN;
      found.runs.push(...joinRuns(readings).map((run) => ({ run, field, tick_zero_utc_s })));
    }
    return found;
  }

  /** The reading, its damage noted; undefined, and an error kept, when there is none. */
  #take<Reading extends { readonly lines: number; readonly damage: readonly Damage[] }>(
    path: string,
    read: Result<Reading>,
  ): Reading | undefined {
    this.notices.push(...read.notices);
    const { lines, damage } = read.ok ? read.value : { lines: 0, damage: [] };
    this.files.push({ path, lines, damage });
    if (read.ok) return read.value;
    this.errors.push(read.error);
    return undefined;
  }
}

function readMapped(
  { path, text }: { readonly path: string; readonly text: string },
  mapping: ColumnMappingSheet | undefined,
): Result<FlowLogReading> {
  if (mapping === undefined) throw new RangeError(`No mapping was given for the log "${path}".`);
  return readMappedLog(text, path, mapping);
}

function withFindings(read: Result<LogReading>): Result<LogReading & Omit<FileFindings, 'path'>> {
  if (!read.ok) return read;
  const { lines, damage } = read.value.reading;
  return { ...read, value: { ...read.value, lines, damage } };
}

export interface TicketInputs {
  readonly tickets: readonly Ticket[];
  readonly files: readonly FileFindings[];
}

/** A listed file as text. */
export interface TextFile {
  readonly path: string;
  readonly text: string;
}

/** Tickets of all files. Fails when one file cannot be read: totals without its loads would be wrong. */
export function gatherTickets(texts: readonly TextFile[]): Result<TicketInputs> {
  const files: (readonly Ticket[])[] = [];
  const notices: Notice[] = [];
  let error: DataError | undefined;
  for (const { path, text } of texts) {
    const read = readTickets(text, path);
    notices.push(...read.notices);
    if (read.ok) files.push(read.value.tickets);
    else error ??= read.error;
  }
  if (error !== undefined) return failure(error, notices);
  const { tickets, notices: repeated } = withoutRepeatedTickets(files);
  return success({ tickets, files: texts.map(findingsOfText) }, [...notices, ...repeated]);
}

/** Around all parcels that may be farmed as one field. A choice of ours. */
const MOST_BOUNDARY_KM = 1500;

function tooManyOutlines(source: string): DataError {
  const text = `${source} holds outlines of more than ${MOST_BOUNDARY_KM} km in all, far more than one field has; give each field a file with its own.`;
  return { code: 'outline_too_long', source, text };
}

export interface BoundaryInputs {
  /** By field; undefined where the sheet names none. */
  readonly boundaries: readonly (BoundaryPolygons | undefined)[];
  readonly files: readonly FileFindings[];
}

/** Boundaries by field. Fails when one file cannot be read: what lies outside a field would be counted in. */
export function gatherBoundaries(texts: readonly (TextFile | undefined)[]): Result<BoundaryInputs> {
  const boundaries: (BoundaryPolygons | undefined)[] = [];
  const notices: Notice[] = [];
  let error: DataError | undefined;
  for (const file of texts) {
    if (file === undefined) {
      boundaries.push(undefined);
      continue;
    }
    const read = readBoundary(file.text, file.path);
    notices.push(...read.notices);
    if (!read.ok) error ??= read.error;
    else if (outlineLength_km(read.value.polygons.flat()) > MOST_BOUNDARY_KM)
      error ??= tooManyOutlines(file.path);
    else boundaries.push(read.value);
  }
  if (error !== undefined) return failure(error, notices);
  const files = texts.filter((file) => file !== undefined).map(findingsOfText);
  return success({ boundaries, files }, notices);
}

/** Files as the summary lists them. Throws RangeError when the hash of one is missing. */
export function inputsOf(
  files: readonly FileFindings[],
  hashes: ReadonlyMap<string, string>,
): Summary['inputs'] {
  return files.map(({ path, lines, damage }) => {
    const sha256 = hashes.get(path);
    if (sha256 === undefined) throw new RangeError(`No hash was given for "${path}".`);
    return {
      path,
      sha256,
      lines,
      damage: Object.fromEntries(damage.map(({ kind, count }) => [kind, count])),
    };
  });
}

/** What there is to say of a text by itself. A last line counts whether or not a line end follows it. */
export function findingsOfText({ path, text }: TextFile): FileFindings {
  const ends = text.split('\n').length - 1;
  return { path, lines: text === '' || text.endsWith('\n') ? ends : ends + 1, damage: [] };
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
