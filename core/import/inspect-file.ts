/**
 * Looks into a file: what it is and why, when and where it was recorded, how damaged it is. Logs of beam edges are read as
 * they come, without keeping the edges, so that their length does not matter.
 */
import type { DataError } from '../errors.ts';
import { isoDate } from '../iso-time.ts';
import { runsBackwards } from '../read/backwards.ts';
import { readMappedLog } from '../read/column-mapping.ts';
import { parseDelimited } from '../read/delimited.ts';
import { type FileKind, HEAD_LENGTH, type Recognition, recogniseFile } from '../read/recognise.ts';
import { readTallyLog } from '../read/tally-log.ts';
import { createTickLogReader, type TickLogReader } from '../read/tick-log.ts';
import { readTickets } from '../read/tickets.ts';
import type { ColumnMappingSheet } from '../season.ts';
import { shownText } from '../shown-text.ts';
import { TAKEN } from './column-guess.ts';
import { readFieldOutlines } from './field-outlines.ts';
import type { FileInspection, InspectedContent, InspectedTable, RowsOutline } from './file-inspection.ts';
import { rememberedMapping } from './header-fingerprint.ts';
import { guessMapping } from './mapping-guess.ts';
import { outlineOfFlow, outlineOfTally } from './rows-outline.ts';
import { type RunOutline, RunOutliner } from './run-outline.ts';
import { joinSamples, type TrackSamples } from './track-samples.ts';

export interface InspectionOptions {
  /** Bytes → text, for tables and boundaries: the host knows the encodings. */
  readonly decode: (bytes: Uint8Array) => string;
  /** The season's column mappings. */
  readonly mappings?: readonly ColumnMappingSheet[];
  /** The mapping that the user gave for this file. */
  readonly mapping?: ColumnMappingSheet;
  /** What the host found the file to be, where it had to unpack or convert it. */
  readonly recognised?: Recognition;
  /** Whether the bytes were made of something else: the file itself is then no text that the season can list. */
  readonly converted?: boolean;
}

export interface FileInspector {
  /** The next bytes, unpacked, in pieces of any size; they are not kept by reference. */
  push(bytes: Uint8Array): void;
  finish(): FileInspection;
}

/** Tables and boundaries are read as one text; longer ones no engine can hold as a string. */
const MOST_TEXT_BYTES = 400 * 2 ** 20;
/** So much of a beginning that is all NUL is waited through for the first line. */
const MOST_NUL_BYTES = 8 * 2 ** 20;
const HEADING_CHARACTERS = 1000;
/** A log has a position, a time and a flow; with fewer columns of numbers a table is a letter with commas. */
const FEWEST_NUMERIC = 2;

export function createFileInspector(name: string, options: InspectionOptions): FileInspector {
  return new Inspector(name, options);
}

/** Looks into a whole file at once. */
export function inspectFile(name: string, bytes: Uint8Array, options: InspectionOptions): FileInspection {
  const inspector = createFileInspector(name, options);
  inspector.push(bytes);
  return inspector.finish();
}

class Inspector implements FileInspector {
  readonly #name: string;
  readonly #options: InspectionOptions;
  /** Pieces of a beginning whose kind is not known yet, or of a file that is read as one text. */
  #pieces: Uint8Array[] = [];
  #bytes = 0;
  #content = 0;
  #recognised: Recognition | undefined;
  #heading = '';
  #reader: TickLogReader<RunOutline> | undefined;

  constructor(name: string, options: InspectionOptions) {
    this.#name = name;
    this.#options = options;
  }

  push(bytes: Uint8Array): void {
    this.#bytes += bytes.length;
    if (this.#reader !== undefined) {
      this.#reader.push(bytes);
      return;
    }
    const isKept =
      this.#recognised === undefined || (isText(this.#recognised.kind) && this.#bytes <= MOST_TEXT_BYTES);
    if (isKept) this.#pieces.push(bytes.slice());
    if (this.#recognised !== undefined) return;
    for (const byte of bytes) if (byte !== 0) this.#content++;
    if (this.#content >= HEAD_LENGTH || this.#bytes >= MOST_NUL_BYTES) this.#recognise();
  }

  finish(): FileInspection {
    const { kind, reason } = this.#recognised ?? this.#recognise();
    const { converted } = this.#options;
    const about = {
      name: this.#name,
      kind,
      reason,
      heading: this.#heading,
      ...(converted ? { converted } : {}),
    };
    if (this.#reader !== undefined) return ofRuns(about, this.#reader.finish());
    if (this.#bytes === 0) {
      return refused(about, {
        code: 'empty_file',
        source: this.#name,
        text: `${reason} Copy it again from where it came.`,
      });
    }
    if (!isText(kind)) return refused(about, { code: 'unknown_kind', source: this.#name, text: reason });
    if (this.#bytes > MOST_TEXT_BYTES) {
      const text = `${this.#name} is larger than ${MOST_TEXT_BYTES / 2 ** 20} MB, more than a table may have; split it into several files.`;
      return refused(about, { code: 'table_too_large', source: this.#name, text });
    }
    return ofText(about, this.#options.decode(joined(this.#pieces)), this.#options);
  }

  #recognise(): Recognition {
    const start = joined(this.#pieces);
    // NUL at the beginning is damage of a log, not its form
    const head = this.#content < start.length ? start.filter((byte) => byte !== 0) : start;
    const recognised = this.#options.recognised ?? recogniseFile(this.#name, head.subarray(0, HEAD_LENGTH));
    this.#recognised = recognised;
    this.#heading = headingOf(head.subarray(0, HEADING_CHARACTERS));
    if (recognised.kind === 'tick_log' || recognised.kind === 'nmea') {
      this.#reader = createTickLogReader(this.#name, (damage) => new RunOutliner(damage));
      for (const piece of this.#pieces) this.#reader.push(piece);
    }
    if (this.#reader !== undefined || !isText(recognised.kind)) this.#pieces = [];
    return recognised;
  }
}

function isText(kind: FileKind): boolean {
  return kind === 'tally_log' || kind === 'tickets' || kind === 'boundary' || kind === 'delimited';
}

type About = Pick<FileInspection, 'name' | 'kind' | 'reason' | 'heading' | 'converted'>;

const TIMELESS = { first_utc_s: Number.NaN, last_utc_s: Number.NaN, days: [] } as const;

function refused(about: About, error: DataError): FileInspection {
  return { ...about, ...TIMELESS, lines: 0, damage: [], notices: [], error, content: { kind: 'none' } };
}

function ofRuns(about: About, read: ReturnType<TickLogReader<RunOutline>['finish']>): FileInspection {
  if (!read.ok) return { ...refused(about, read.error), notices: read.notices };
  const { runs, lines, damage } = read.value;
  const backwards = runsBackwards(about.name, read.value);
  if (backwards !== undefined) return { ...refused(about, backwards), lines, damage };
  const span = spanOf(runs.flatMap(({ first_utc_s, last_utc_s }) => [first_utc_s, last_utc_s]));
  const days = daysOf(joinSamples(runs.map(({ samples }) => samples)), span);
  return { ...about, ...span, days, lines, damage, notices: read.notices, content: { kind: 'runs', runs } };
}

function ofText(about: About, text: string, options: InspectionOptions): FileInspection {
  switch (about.kind) {
    case 'tally_log': {
      const read = readTallyLog(text, about.name);
      if (!read.ok) return { ...refused(about, read.error), notices: read.notices };
      const outline = outlineOfTally(read.value.rows);
      return ofRows(
        about,
        outline,
        read.value,
        read.notices,
        { kind: 'rows', ...outline },
        read.value.rows.utc_s,
      );
    }
    case 'tickets': {
      const read = readTickets(text, about.name);
      if (!read.ok) return { ...refused(about, read.error), notices: read.notices };
      const { tickets, lines } = read.value;
      const span = spanOf(tickets.flatMap(({ start_utc_s, end_utc_s }) => [start_utc_s, end_utc_s]));
      const content: InspectedContent = { kind: 'tickets', tickets };
      return { ...about, ...TIMELESS, ...span, lines, damage: [], notices: read.notices, content };
    }
    case 'boundary': {
      const read = readFieldOutlines(text, about.name);
      if (!read.ok) return { ...refused(about, read.error), notices: read.notices };
      const content: InspectedContent = { kind: 'boundary', ...read.value };
      return { ...about, ...TIMELESS, lines: linesOf(text), damage: [], notices: read.notices, content };
    }
    default:
      return ofTable(about, text, options);
  }
}

function ofTable(about: About, text: string, options: InspectionOptions): FileInspection {
  const parsed = parseDelimited(text, about.name);
  if (!parsed.ok) return refused(about, parsed.error);
  const guessed = guessMapping(text, about.name);
  if (!guessed.ok) return refused(about, guessed.error);
  const guess = guessed.value;
  if (guess.numericColumns < FEWEST_NUMERIC && options.mapping === undefined) {
    const text = `${shownText(about.name)} is text, but no log: hardly any of its cells are numbers.`;
    return refused(
      { ...about, kind: 'unknown', reason: text },
      { code: 'unknown_kind', source: about.name, text },
    );
  }
  const remembered = rememberedMapping(options.mappings ?? [], parsed.value);
  const sure = guess.confidence >= TAKEN ? { id: '', ...guess.mapping } : undefined;
  const mapping = options.mapping ?? remembered ?? sure;
  const table: InspectedTable = {
    header: parsed.value.header,
    mapping,
    chosen_by: options.mapping ? 'user' : remembered ? 'memory' : sure ? 'guess' : 'nobody',
    guess,
  };
  const lines = parsed.value.lineCount;
  if (mapping === undefined) {
    return { ...about, ...TIMELESS, lines, damage: [], notices: [], content: { kind: 'table', ...table } };
  }
  const read = readMappedLog(text, about.name, mapping);
  if (!read.ok) {
    const failed = refused(about, read.error);
    return { ...failed, lines, notices: read.notices, content: { kind: 'table', ...table } };
  }
  const log = outlineOfFlow(read.value.rows);
  return ofRows(
    about,
    log,
    read.value,
    read.notices,
    { kind: 'table', ...table, log },
    read.value.rows.utc_s,
  );
}

function ofRows(
  about: About,
  outline: RowsOutline,
  { lines, damage }: Pick<FileInspection, 'lines' | 'damage'>,
  notices: FileInspection['notices'],
  content: InspectedContent,
  utc_s: Float64Array,
): FileInspection {
  const span = spanOf(utc_s);
  return { ...about, ...span, days: daysOf(outline.samples, span), lines, damage, notices, content };
}

function spanOf(moments_s: Iterable<number>): { first_utc_s: number; last_utc_s: number } {
  let first_utc_s = Number.NaN;
  let last_utc_s = Number.NaN;
  for (const moment of moments_s) {
    if (Number.isNaN(moment)) continue;
    if (!(first_utc_s <= moment)) first_utc_s = moment;
    if (!(last_utc_s >= moment)) last_utc_s = moment;
  }
  return { first_utc_s, last_utc_s };
}

const S_PER_DAY = 86_400;
/** The sun's day begins four minutes later for every degree west. */
const S_PER_DEGREE = 240;

/** Days of the samples by the sun; of the span's ends where no position is known. */
function daysOf(
  { utc_s, longitude_deg }: TrackSamples,
  span: { first_utc_s: number; last_utc_s: number },
): string[] {
  const days = new Set<number>();
  utc_s.forEach((utc, i) => {
    days.add(Math.floor((utc + longitude_deg[i] * S_PER_DEGREE) / S_PER_DAY));
  });
  if (days.size === 0) {
    for (const utc of [span.first_utc_s, span.last_utc_s])
      if (!Number.isNaN(utc)) days.add(Math.floor(utc / S_PER_DAY));
  }
  return [...days].sort((a, b) => a - b).map(isoDate);
}

/** Comment lines and a first line of words, one character a byte. */
function headingOf(head: Uint8Array): string {
  const lines = String.fromCharCode(...head).split(/\r\n|\n|\r/);
  return lines
    .filter((line, i) => line.startsWith('#') || (i === 0 && /^[^\d$]/.test(line)))
    .join(' ')
    .slice(0, HEADING_CHARACTERS);
}

function linesOf(text: string): number {
  let lines = text.endsWith('\n') || text === '' ? 0 : 1;
  for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) lines++;
  return lines;
}

function joined(pieces: readonly Uint8Array[]): Uint8Array {
  if (pieces.length === 1) return pieces[0];
  const whole = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return whole;
}
