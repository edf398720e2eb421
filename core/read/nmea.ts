/**
 * NMEA 0183 sentences, straight from their bytes.
 *
 * Checksum: exclusive or of all bytes between `$` and `*`, two hexadecimal digits. GGA, RMC, VTG, GNS, ZDA and GSA are
 * read from any talker; the field numbers below count the address (`GPGGA`) as field 0. All of them are laid into
 * one flat record, NaN where a sentence says nothing, so that the sentences of one epoch can simply be overlaid.
 */
import type { DamageKind } from '../errors.ts';
import { mPerSFromKmh, mPerSFromKnots } from '../units.ts';
import { SentenceFields } from './sentence-fields.ts';
import { daysFromCivil } from './utc.ts';

export type SentenceType = 'GGA' | 'RMC' | 'VTG' | 'GNS' | 'ZDA' | 'GSA';

/** What one sentence says; NaN where it says nothing. */
export interface NmeaSentence {
  readonly type: SentenceType;
  /** Seconds since UTC midnight. */
  readonly time_of_day_s: number;
  /** Days since 1970-01-01. */
  readonly date_day: number;
  /** 1: the sentence vouches for its position; 0: it says that there is none; NaN: it does not say. */
  readonly valid: number;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly altitude_m: number;
  readonly speed_m_s: number;
  readonly course_deg: number;
  readonly quality: number;
  readonly satellites: number;
  readonly hdop: number;
}

type Content = { -readonly [key in keyof NmeaSentence]: NmeaSentence[key] };

const DOLLAR = 0x24;
const STAR = 0x2a;

/** Sentences that may be waited with before their place in the log is known; more than a line's order takes (tick-order.ts). */
const SENTENCES_IN_TURN = 16;

/**
 * Reads sentences. The records that it answers with are used in turn, so that millions of sentences leave nothing to clear
 * away: one that is to outlast the next `SENTENCES_IN_TURN` − 1 must be copied.
 */
export class NmeaParser {
  readonly #fields = new SentenceFields();
  readonly #contents = Array.from({ length: SENTENCES_IN_TURN }, emptyContent);
  #turn = 0;

  /**
   * Reads the sentence in `bytes[start..end)`, which begins with `$` and has no line end. What cannot be used is
   * answered with the kind of damage: `missing_checksum`, `bad_checksum` (wrong, or not two hexadecimal digits),
   * `skipped_sentence` (sound, but of another type or proprietary), `bad_number` (sound, but a field is no number).
   */
  parse(bytes: Uint8Array, start: number, end: number): NmeaSentence | DamageKind {
    if (bytes[start] !== DOLLAR) return 'unreadable_line';
    let star = start + 1;
    let sum = 0;
    while (star < end && bytes[star] !== STAR) sum ^= bytes[star++];
    if (star === end) return 'missing_checksum';
    if (end - star !== 3 || !isChecksum(bytes, star + 1, sum)) return 'bad_checksum';
    this.#fields.turnTo(bytes, start + 1, star);
    return this.#content(bytes, start);
  }

  /**
   * Looks for the end of the sentence at `start`, before `limit`: the place behind its checksum, where that is right; −1 for
   * anything else, control characters among it. `parseFound` reads it.
   */
  find(bytes: Uint8Array, start: number, limit: number): number {
    const star = this.#fields.turnToNext(bytes, start + 1, limit);
    if (star + 3 > limit || bytes[star] !== STAR) return -1;
    return isChecksum(bytes, star + 1, this.#fields.checksum) ? star + 3 : -1;
  }

  /** The sentence that `find` has found at `start`. */
  parseFound(bytes: Uint8Array, start: number): NmeaSentence | DamageKind {
    return this.#content(bytes, start);
  }

  #content(bytes: Uint8Array, start: number): NmeaSentence | DamageKind {
    const type = sentenceType(bytes, start + 1);
    if (type === undefined) return 'skipped_sentence';
    this.#turn = (this.#turn + 1) % SENTENCES_IN_TURN;
    const content = this.#contents[this.#turn];
    clear(content, type);
    READERS[type](this.#fields, content);
    return this.#fields.malformed ? 'bad_number' : content;
  }
}

/** Whether the two hexadecimal digits at `at` say `sum`. */
function isChecksum(bytes: Uint8Array, at: number, sum: number): boolean {
  return 16 * hexDigit(bytes[at]) + hexDigit(bytes[at + 1]) === sum;
}

/** NaN (which equals no checksum) when it is not a hexadecimal digit. */
function hexDigit(byte: number): number {
  if (byte >= 48 && byte <= 57) return byte - 48;
  if (byte >= 65 && byte <= 70) return byte - 55;
  if (byte >= 97 && byte <= 102) return byte - 87;
  return Number.NaN;
}

const TYPES: ReadonlyMap<number, SentenceType> = new Map(
  (['GGA', 'RMC', 'VTG', 'GNS', 'ZDA', 'GSA'] as const).map((type) => [
    (type.charCodeAt(0) << 16) | (type.charCodeAt(1) << 8) | type.charCodeAt(2),
    type,
  ]),
);

/** Address `ttSSS`: two letters of the talker, three of the type. Talkers that begin with P are proprietary. */
function sentenceType(bytes: Uint8Array, at: number): SentenceType | undefined {
  if (bytes[at] === 0x50 || bytes[at + 5] !== 0x2c) return undefined;
  return TYPES.get((bytes[at + 2] << 16) | (bytes[at + 3] << 8) | bytes[at + 4]);
}

function emptyContent(): Content {
  const absent = Number.NaN;
  return {
    type: 'GGA',
    time_of_day_s: absent,
    date_day: absent,
    valid: absent,
    latitude_deg: absent,
    longitude_deg: absent,
    altitude_m: absent,
    speed_m_s: absent,
    course_deg: absent,
    quality: absent,
    satellites: absent,
    hdop: absent,
  };
}

/** Makes the content say nothing but its type. */
function clear(content: Content, type: SentenceType): void {
  content.type = type;
  content.time_of_day_s = Number.NaN;
  content.date_day = Number.NaN;
  content.valid = Number.NaN;
  content.latitude_deg = Number.NaN;
  content.longitude_deg = Number.NaN;
  content.altitude_m = Number.NaN;
  content.speed_m_s = Number.NaN;
  content.course_deg = Number.NaN;
  content.quality = Number.NaN;
  content.satellites = Number.NaN;
  content.hdop = Number.NaN;
}

const READERS: Readonly<Record<SentenceType, (fields: SentenceFields, into: Content) => void>> = {
  GGA: readGga,
  RMC: readRmc,
  VTG: readVtg,
  GNS: readGns,
  ZDA: readZda,
  GSA: readGsa,
};

/** 1 UTC, 2–5 position, 6 quality (0 none), 7 satellites, 8 HDOP, 9 altitude above mean sea level, m. */
function readGga(fields: SentenceFields, into: Content): void {
  into.time_of_day_s = fields.clock(1);
  readPosition(fields, 2, into);
  into.quality = fields.amount(6);
  into.valid = Number.isNaN(into.quality) ? Number.NaN : Math.min(into.quality, 1);
  into.satellites = fields.amount(7);
  into.hdop = fields.amount(8);
  into.altitude_m = fields.number(9);
}

/** 1 UTC, 2 status (A valid, V void), 3–6 position, 7 knots, 8 true course, 9 ddmmyy, 12 mode (N no fix). */
function readRmc(fields: SentenceFields, into: Content): void {
  into.time_of_day_s = fields.clock(1);
  readPosition(fields, 3, into);
  into.speed_m_s = mPerSFromKnots(fields.amount(7));
  into.course_deg = fields.course(8);
  into.date_day = fields.date(9);
  into.quality = qualityFromMode(fields.letter(12));
  const status = fields.letter(2);
  if (status === 'V' || into.quality === 0) into.valid = 0;
  else if (status !== '') into.valid = 1;
}

/** 1 true course, 5 knots, 7 km/h: knots come first, as in RMC, so that the two agree to the last digit. */
function readVtg(fields: SentenceFields, into: Content): void {
  into.course_deg = fields.course(1);
  const speed_m_s = mPerSFromKnots(fields.amount(5));
  into.speed_m_s = Number.isNaN(speed_m_s) ? mPerSFromKmh(fields.amount(7)) : speed_m_s;
}

/** 1 UTC, 2–5 position, 6 mode, one letter for each satellite system, 7 satellites, 8 HDOP, 9 altitude. */
function readGns(fields: SentenceFields, into: Content): void {
  into.time_of_day_s = fields.clock(1);
  readPosition(fields, 2, into);
  for (const letter of fields.letters(6)) {
    const quality = qualityFromMode(letter);
    if (!(into.quality > 0) || MODE_ORDER.indexOf(quality) < MODE_ORDER.indexOf(into.quality)) {
      into.quality = quality;
    }
  }
  into.valid = Number.isNaN(into.quality) ? Number.NaN : Math.min(into.quality, 1);
  into.satellites = fields.amount(7);
  into.hdop = fields.amount(8);
  into.altitude_m = fields.number(9);
}

/** 1 UTC, 2 day, 3 month, 4 year (fields 5 and 6, the local zone, do not change the UTC before them). */
function readZda(fields: SentenceFields, into: Content): void {
  into.time_of_day_s = fields.clock(1);
  const [day, month, year] = [fields.number(2), fields.number(3), fields.number(4)];
  if (Number.isNaN(day + month + year)) return;
  into.date_day = daysFromCivil(year, month, day);
  if (Number.isNaN(into.date_day)) fields.malformed = true;
}

/** 16 HDOP; satellites and the kind of fix stand in GGA. */
function readGsa(fields: SentenceFields, into: Content): void {
  into.hdop = fields.amount(16);
}

function readPosition(fields: SentenceFields, first: number, into: Content): void {
  const latitude_deg = fields.latitude(first);
  const longitude_deg = fields.longitude(first + 2);
  if (Number.isNaN(latitude_deg + longitude_deg)) return;
  into.latitude_deg = latitude_deg;
  into.longitude_deg = longitude_deg;
}

/** Mode letters in the words of the GGA quality indicator, which says the same with more detail. */
const MODES: Readonly<Record<string, number>> = { N: 0, A: 1, D: 2, P: 3, R: 4, F: 5, E: 6, M: 7, S: 8 };
/** When systems differ: the best of them, fixed phase first, dead reckoning and no fix last. */
const MODE_ORDER = [4, 5, 3, 2, 1, 6, 7, 8, 0];

function qualityFromMode(letter: string): number {
  return MODES[letter] ?? Number.NaN;
}
