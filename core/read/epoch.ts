/**
 * One moment of a receiver while its sentences come: of each quantity what the best of them says. GGA is believed before GNS
 * and RMC, for it has the most decimals of a position and the finest words for quality; RMC before ZDA and VTG; of two
 * of a kind the first one.
 */
import type { NmeaSentence, SentenceType } from './nmea.ts';

/** What an epoch tells, as indices of its `told`. */
export const DAY = 0;
export const LATITUDE = 1;
export const LONGITUDE = 2;
export const ALTITUDE = 3;
export const SPEED = 4;
export const COURSE = 5;
export const QUALITY = 6;
export const SATELLITES = 7;
export const HDOP = 8;

const QUANTITIES = 9;
/** Ranks of sentences for a quantity. */
const BEST = 0;
const SECOND = 1;
const THIRD = 2;
const UNTOLD = 3;

/** Types as bits. */
const BIT: Readonly<Record<SentenceType, number>> = { GGA: 1, GNS: 2, RMC: 4, VTG: 8, ZDA: 16, GSA: 32 };
const PLACING = BIT.GGA | BIT.GNS | BIT.RMC;

/** Used again for one epoch after the other: `begin` forgets what was told. */
export class Epoch {
  tick_us = Number.NaN;
  line = 0;
  /** Sentences that told of it. */
  sentences = 0;
  last_tick_us = Number.NaN;
  clock_s = Number.NaN;
  /** By quantity; NaN where no sentence told it. */
  readonly told = new Float64Array(QUANTITIES);
  readonly #rank = new Uint8Array(QUANTITIES);
  #types = 0;
  #isVoid = false;

  /** The moment's clock time, the counter at its first sentence (NaN when the file has none) and that sentence's line. */
  begin(clock_s: number, tick_us: number, line: number): void {
    this.clock_s = clock_s;
    this.tick_us = tick_us;
    this.last_tick_us = tick_us;
    this.line = line;
    this.sentences = 0;
    for (let quantity = 0; quantity < QUANTITIES; quantity++) {
      this.told[quantity] = Number.NaN;
      this.#rank[quantity] = UNTOLD;
    }
    this.#types = 0;
    this.#isVoid = false;
  }

  join(sentence: NmeaSentence, tick_us: number): void {
    this.last_tick_us = tick_us;
    this.sentences++;
    if (sentence.valid === 0) this.#isVoid = true;
    switch (sentence.type) {
      case 'GGA':
        this.#types |= BIT.GGA;
        this.#place(sentence, BEST);
        this.#sky(sentence, BEST);
        break;
      case 'GNS':
        this.#types |= BIT.GNS;
        this.#place(sentence, SECOND);
        this.#sky(sentence, SECOND);
        break;
      case 'RMC':
        this.#types |= BIT.RMC;
        this.#place(sentence, THIRD);
        this.#take(SPEED, BEST, sentence.speed_m_s);
        this.#take(COURSE, BEST, sentence.course_deg);
        this.#take(DAY, BEST, sentence.date_day);
        break;
      case 'VTG':
        this.#types |= BIT.VTG;
        this.#take(SPEED, SECOND, sentence.speed_m_s);
        this.#take(COURSE, SECOND, sentence.course_deg);
        break;
      case 'ZDA':
        this.#types |= BIT.ZDA;
        this.#take(DAY, SECOND, sentence.date_day);
        break;
      case 'GSA':
        this.#types |= BIT.GSA;
        this.#take(HDOP, THIRD, sentence.hdop);
        break;
    }
  }

  /** Whether a sentence of that type has come already; GSA comes once for each satellite system. */
  hasTold(type: SentenceType): boolean {
    return type !== 'GSA' && (this.#types & BIT[type]) !== 0;
  }

  /** Whether a sentence came that tells a position where there is one. */
  get claimsPlace(): boolean {
    return (this.#types & PLACING) !== 0;
  }

  /** Whether a sentence says that there is no position, or those that ought to tell one do not. */
  get isRefused(): boolean {
    return this.#isVoid || (this.claimsPlace && Number.isNaN(this.told[LATITUDE]));
  }

  #place(sentence: NmeaSentence, rank: number): void {
    this.#take(LATITUDE, rank, sentence.latitude_deg);
    this.#take(LONGITUDE, rank, sentence.longitude_deg);
    this.#take(QUALITY, rank, sentence.quality);
  }

  #sky(sentence: NmeaSentence, rank: number): void {
    this.#take(ALTITUDE, rank, sentence.altitude_m);
    this.#take(SATELLITES, rank, sentence.satellites);
    this.#take(HDOP, rank, sentence.hdop);
  }

  #take(quantity: number, rank: number, told: number): void {
    if (rank >= this.#rank[quantity] || Number.isNaN(told)) return;
    this.told[quantity] = told;
    this.#rank[quantity] = rank;
  }
}
