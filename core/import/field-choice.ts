/**
 * The fields of an import: those that boundary files draw, and, for ground that was worked outside all boundaries, new ones
 * with an outline drawn around the tracks. Names come from boundary files, from the rows of logs, from the tickets of the
 * time, and else from the day.
 */
import { isoDate } from '../iso-time.ts';
import type { BoundaryPolygons } from '../read/boundaries.ts';
import type { Ticket } from '../read/ticket.ts';
import { quantile } from '../stats/quantiles.ts';
import { isInside, outlineOf } from '../track/field-visits.ts';
import { localFrame } from '../track/local-frame.ts';
import { derivedBoundaries } from './derived-boundary.ts';
import type { LogOutline } from './log-outline.ts';
import { joinSamples, middleOf, type TrackSamples } from './track-samples.ts';
import { type WorkedGround, workedGround } from './worked-ground.ts';

/** A field that is known before the tracks are looked at. */
export interface BoundedField {
  readonly name: string;
  /** Undefined for a field of the season that is what was cut. */
  readonly boundary: BoundaryPolygons | undefined;
}

/** Ground worked outside all known fields. */
export interface FoundField {
  readonly name: string;
  /** Where the name comes from: one clause. */
  readonly reason: string;
  /** Whether something names it; false where it is called by its first day. */
  readonly isNamed: boolean;
  readonly boundary: BoundaryPolygons;
  readonly logs: readonly string[];
}

export interface FieldChoices {
  /** Found by their tracks, the earliest first. */
  readonly found: readonly FoundField[];
  /** Names of the fields in which each log was recorded, by id of the log. */
  readonly ofLog: ReadonlyMap<string, readonly string[]>;
}

/** A piece of ground of which so much lies in known fields belongs to them: a boundary drawn a little small. */
const MOSTLY_INSIDE = 0.6;
/** A field visited for fewer samples (30 s of harvest) was driven through. */
const VISIT_SAMPLES = 10;

/**
 * `claimed`: a name for all ground that is found, when the user has said which field it is. A single known field without
 * boundary takes the ground in which its own logs were recorded, or the largest piece when it has none.
 */
export function chooseFields(
  logs: readonly LogOutline[],
  known: readonly BoundedField[],
  hints: {
    readonly tickets: readonly Ticket[];
    readonly claimed?: string;
    readonly unboundedLogs: ReadonlySet<string>;
  },
): FieldChoices {
  const samples = joinSamples(logs.map((log) => log.samples));
  const logOf = logs.flatMap((log, k) => Array<number>(log.samples.utc_s.length).fill(k));
  if (samples.utc_s.length === 0) return { found: [], ofLog: new Map() };
  const fieldOf = fieldOfSamples(samples, known);
  const middle = middleOf(samples);
  const frame = localFrame(middle.longitude_deg, middle.latitude_deg);
  const pieces = workedGround(samples, frame);
  const loose = pieces
    .filter((piece) => shareInside(piece, fieldOf) < MOSTLY_INSIDE)
    .map((piece) => withoutInside(piece, fieldOf));
  const unbounded = known.filter(({ boundary }) => boundary === undefined);
  const claims = unbounded.length === 1 ? claimOf(loose, logOf, logs, hints.unboundedLogs) : undefined;
  const fresh = loose
    .filter((piece) => piece !== claims)
    .sort((a, b) => firstOf(a, samples) - firstOf(b, samples));
  const taken = new Set(known.map(({ name }) => name.toLowerCase()));
  const named = fresh.map((piece, k) =>
    nameOf(piece, samples, logOf, logs, hints, { taken, number: k + 1, of: fresh.length }),
  );
  const drawn = known.flatMap(({ boundary }) => (boundary === undefined ? [] : [outlineOf(boundary)]));
  const isFree = (longitude_deg: number, latitude_deg: number) =>
    !drawn.some((outline) => isInside(outline, longitude_deg, latitude_deg));
  const outlines = derivedBoundaries(
    fresh,
    frame,
    (k) => named[k].name,
    drawn.length > 0 ? isFree : undefined,
  );
  const found = fresh.map((piece, k) => ({
    ...named[k],
    boundary: outlines[k],
    logs: logsOf(piece, logOf).map((l) => logs[l].id),
  }));
  const names = known.map(({ name }) => name);
  return {
    found,
    ofLog: visits(
      logs,
      logOf,
      fieldOf,
      names,
      found,
      claims && { piece: claims, name: unbounded[0].name },
      fresh,
    ),
  };
}

/** Index of the known field in whose boundary each sample lies, −1 for none. */
function fieldOfSamples(samples: TrackSamples, known: readonly BoundedField[]): Int32Array {
  const outlines = known.map(({ boundary }) => (boundary === undefined ? undefined : outlineOf(boundary)));
  return Int32Array.from(samples.utc_s, (_, i) =>
    outlines.findIndex(
      (outline) =>
        outline !== undefined && isInside(outline, samples.longitude_deg[i], samples.latitude_deg[i]),
    ),
  );
}

function shareInside(piece: WorkedGround, fieldOf: Int32Array): number {
  return (
    piece.samples.reduce((sum, i) => sum + (fieldOf[i] >= 0 ? 1 : 0), 0) / Math.max(1, piece.samples.length)
  );
}

function withoutInside(piece: WorkedGround, fieldOf: Int32Array): WorkedGround {
  return { cells: piece.cells, samples: piece.samples.filter((i) => fieldOf[i] < 0) };
}

/** The piece that belongs to the one field without boundary. */
function claimOf(
  pieces: readonly WorkedGround[],
  logOf: readonly number[],
  logs: readonly LogOutline[],
  own: ReadonlySet<string>,
): WorkedGround | undefined {
  const shares = pieces.map((piece) =>
    piece.samples.reduce((sum, i) => sum + (own.has(logs[logOf[i]].id) ? 1 : 0), 0),
  );
  const most = Math.max(0, ...shares);
  return most > 0 ? pieces[shares.indexOf(most)] : pieces[0];
}

/** When a field was begun in earnest: a machine that came by days before did not begin it. */
function firstOf(piece: WorkedGround, samples: TrackSamples): number {
  const step = Math.max(1, Math.floor(piece.samples.length / 2000));
  const some = piece.samples.filter((_, k) => k % step === 0);
  return quantile(
    Float64Array.from(some, (i) => samples.utc_s[i]),
    0.02,
  );
}

/** Indices of the logs that were recorded there, and not just on the way through. */
function logsOf(piece: WorkedGround, logOf: readonly number[]): number[] {
  const samples = new Map<number, number>();
  for (const i of piece.samples) samples.set(logOf[i], (samples.get(logOf[i]) ?? 0) + 1);
  return [...samples].filter(([, count]) => count >= VISIT_SAMPLES).map(([log]) => log);
}

interface Numbering {
  readonly taken: Set<string>;
  readonly number: number;
  readonly of: number;
}

function nameOf(
  piece: WorkedGround,
  samples: TrackSamples,
  logOf: readonly number[],
  logs: readonly LogOutline[],
  hints: { readonly tickets: readonly Ticket[]; readonly claimed?: string },
  { taken, number, of }: Numbering,
): Pick<FoundField, 'name' | 'reason' | 'isNamed'> {
  const free = (name: string | undefined): name is string =>
    name !== undefined && !taken.has(name.toLowerCase());
  const use = (name: string, reason: string, isNamed = true) => {
    taken.add(name.toLowerCase());
    return { name, reason, isNamed };
  };
  if (hints.claimed !== undefined) {
    const name = of === 1 ? hints.claimed : `${hints.claimed} ${number}`;
    if (free(name)) return use(name, 'it was said');
  }
  const inRows = [...new Set(logsOf(piece, logOf).flatMap((k) => logs[k].fields))];
  if (inRows.length === 1 && free(inRows[0])) return use(inRows[0], 'the rows of the log name it');
  const ticketed = fieldOfTickets(piece, samples, hints.tickets, of);
  if (free(ticketed)) return use(ticketed, 'the tickets of that time name it');
  const middle = piece.samples[0];
  const first_s = firstOf(piece, samples) + 240 * samples.longitude_deg[middle];
  for (let k = number; ; k++) {
    const name = `Field ${k} (${isoDate(Math.floor(first_s / 86_400))})`;
    if (free(name)) return use(name, 'nothing names it, so it is called by its first day', false);
  }
}

/** The field that most of the tickets name whose grain was cut while the piece was worked. */
function fieldOfTickets(
  piece: WorkedGround,
  samples: TrackSamples,
  tickets: readonly Ticket[],
  pieces: number,
): string | undefined {
  const named = new Map<string, number>();
  for (const { field, start_utc_s, end_utc_s } of tickets) {
    if (field === undefined || !(start_utc_s < end_utc_s)) continue;
    const worked = piece.samples.reduce(
      (sum, i) => sum + (samples.utc_s[i] >= start_utc_s && samples.utc_s[i] <= end_utc_s ? 1 : 0),
      0,
    );
    if (worked > 0) named.set(field, (named.get(field) ?? 0) + worked);
  }
  const all = [...new Set(tickets.flatMap(({ field }) => (field === undefined ? [] : [field])))];
  // tickets without times stand for a whole field: for the only one
  if (named.size === 0) return all.length === 1 && pieces === 1 ? all[0] : undefined;
  return [...named].reduce((a, b) => (b[1] > a[1] ? b : a))[0];
}

function visits(
  logs: readonly LogOutline[],
  logOf: readonly number[],
  fieldOf: Int32Array,
  names: readonly string[],
  found: readonly FoundField[],
  claim: { readonly piece: WorkedGround; readonly name: string } | undefined,
  fresh: readonly WorkedGround[],
): Map<string, string[]> {
  const counts = new Map<string, Map<string, number>>();
  const count = (log: number, name: string) => {
    const own = counts.get(logs[log].id) ?? new Map<string, number>();
    own.set(name, (own.get(name) ?? 0) + 1);
    counts.set(logs[log].id, own);
  };
  fieldOf.forEach((f, i) => {
    if (f >= 0) count(logOf[i], names[f]);
  });
  fresh.forEach((piece, k) => {
    for (const i of piece.samples) count(logOf[i], found[k].name);
  });
  if (claim !== undefined) for (const i of claim.piece.samples) count(logOf[i], claim.name);
  return new Map(
    [...counts].map(([id, own]) => [
      id,
      [...own].filter(([, samples]) => samples >= VISIT_SAMPLES).map(([name]) => name),
    ]),
  );
}
