/**
 * Sentences of one epoch joined on UTC into one row of `FixColumns`.
 *
 * A receiver tells one moment in several sentences, in an order of its own. Those with a clock time belong to the epoch
 * of that time; the epoch before stays open, too, for one that comes late. Those without (VTG, GSA, and everything
 * while the receiver has no time) belong to the epoch being told, unless it already has a sentence of that type, or,
 * where the logger stamped them, unless they stand nearer to the next sentence: some receivers say VTG first.
 */
import { Float64Builder } from '../columns.ts';
import type { DamageTally } from './damage.ts';
import { FixCalendar } from './fix-calendar.ts';
import type { FixColumns } from './logger-run.ts';
import type { NmeaSentence } from './nmea.ts';
import { S_PER_DAY } from './utc.ts';

interface Epoch {
  readonly tick_us: number;
  readonly line: number;
  last_tick_us: number;
  readonly clock_s: number;
  /** In the order of arrival. */
  readonly sentences: NmeaSentence[];
}

/** A sentence without a time that waits for what follows it. */
interface Waiting {
  readonly sentence: NmeaSentence;
  readonly tick_us: number;
  readonly line: number;
}

/** Clock times of one epoch may differ in the digits that receivers round. */
const SAME_EPOCH_S = 5e-4;

/** Takes the sentences of one run in counter order; `finish` gives the rows. */
export class FixAssembler {
  readonly #damage: DamageTally;
  readonly #calendar = new FixCalendar();
  #previous: Epoch | undefined;
  #current: Epoch | undefined;
  #waiting: Waiting[] = [];
  readonly #relativeDay = new Float64Builder(64);
  readonly #clock_s = new Float64Builder(64);
  readonly #tick_us = new Float64Builder(64);
  readonly #latitude_deg = new Float64Builder(64);
  readonly #longitude_deg = new Float64Builder(64);
  readonly #altitude_m = new Float64Builder(64);
  readonly #speed_m_s = new Float64Builder(64);
  readonly #course_deg = new Float64Builder(64);
  readonly #quality = new Float64Builder(64);
  readonly #satellites = new Float64Builder(64);
  readonly #hdop = new Float64Builder(64);

  /** Epochs without a valid position are counted as `bad_fix` in `damage`. */
  constructor(damage: DamageTally) {
    this.#damage = damage;
  }

  /** The next sentence, the counter at its arrival (NaN when the file has none) and its line. */
  add(sentence: NmeaSentence, tick_us: number, line: number): void {
    if (Number.isNaN(sentence.time_of_day_s)) {
      this.#addUntimed(sentence, tick_us, line);
      return;
    }
    if (isSameEpoch(this.#current, sentence)) {
      this.#joinWaiting(this.#current);
      join(this.#current, sentence, tick_us);
    } else if (isSameEpoch(this.#previous, sentence)) {
      join(this.#previous, sentence, tick_us);
    } else {
      this.#open(sentence, tick_us, line);
    }
  }

  /** Closes what is open and gives the rows in the order of arrival. */
  finish(): FixColumns {
    if (this.#current) this.#joinWaiting(this.#current);
    this.#close(this.#previous);
    this.#close(this.#current);
    this.#previous = undefined;
    this.#current = undefined;
    const utc_s = this.#clock_s.toColumn();
    const relativeDay = this.#relativeDay.toColumn();
    const dayZero = this.#calendar.dayZero();
    for (let i = 0; i < utc_s.length; i++) utc_s[i] += (relativeDay[i] + dayZero) * S_PER_DAY;
    return {
      tick_us: this.#tick_us.toColumn(),
      utc_s,
      latitude_deg: this.#latitude_deg.toColumn(),
      longitude_deg: this.#longitude_deg.toColumn(),
      altitude_m: this.#altitude_m.toColumn(),
      speed_m_s: this.#speed_m_s.toColumn(),
      course_deg: this.#course_deg.toColumn(),
      quality: this.#quality.toColumn(),
      satellites: this.#satellites.toColumn(),
      hdop: this.#hdop.toColumn(),
    };
  }

  #addUntimed(sentence: NmeaSentence, tick_us: number, line: number): void {
    const epoch = this.#current;
    const positional = sentence.type !== 'VTG' && sentence.type !== 'GSA';
    const told = epoch && hasTold(epoch, sentence);
    if (positional && (!epoch || told)) this.#open(sentence, tick_us, line);
    else if (!epoch || told || !Number.isNaN(tick_us)) this.#waiting.push({ sentence, tick_us, line });
    else join(epoch, sentence, tick_us);
  }

  #open(sentence: NmeaSentence, tick_us: number, line: number): void {
    if (this.#current) this.#settleWaiting(this.#current, tick_us);
    this.#close(this.#previous);
    this.#previous = this.#current;
    const first = this.#waiting[0];
    this.#current = {
      tick_us: first ? first.tick_us : tick_us,
      line: first ? first.line : line,
      last_tick_us: tick_us,
      clock_s: sentence.time_of_day_s,
      sentences: [...this.#waiting.map((one) => one.sentence), sentence],
    };
    this.#waiting = [];
  }

  #joinWaiting(epoch: Epoch): void {
    for (const one of this.#waiting) join(epoch, one.sentence, one.tick_us);
    this.#waiting = [];
  }

  /** Gives `epoch` the waiting sentences that stand nearer to it than to the next epoch, which begins at `next_tick_us`. */
  #settleWaiting(epoch: Epoch, next_tick_us: number): void {
    const rest: Waiting[] = [];
    for (const one of this.#waiting) {
      const nearerToNext = next_tick_us - one.tick_us < one.tick_us - epoch.last_tick_us;
      if (rest.length > 0 || nearerToNext || hasTold(epoch, one.sentence)) rest.push(one);
      else join(epoch, one.sentence, one.tick_us);
    }
    this.#waiting = rest;
  }

  #close(epoch: Epoch | undefined): void {
    if (!epoch) return;
    const { sentences } = epoch;
    let claims = 0;
    let placed = false;
    let refused = false;
    for (const { type, valid, latitude_deg } of sentences) {
      if (type === 'GGA' || type === 'RMC' || type === 'GNS') claims++;
      if (valid === 0) refused = true;
      if (!Number.isNaN(latitude_deg)) placed = true;
    }
    if (refused || (claims > 0 && !placed)) {
      this.#damage.add('bad_fix', epoch.line);
      return;
    }
    const day = firstKnown(sentences, 'date_day', 'RMC', 'ZDA');
    if (claims === 0) {
      if (!Number.isNaN(day + epoch.clock_s)) this.#calendar.advance(epoch.clock_s, day);
      return;
    }
    const timed = !Number.isNaN(epoch.clock_s);
    this.#relativeDay.push(timed ? this.#calendar.advance(epoch.clock_s, day) : Number.NaN);
    this.#clock_s.push(epoch.clock_s);
    this.#tick_us.push(epoch.tick_us);
    this.#pushContent(sentences);
  }

  #pushContent(sentences: readonly NmeaSentence[]): void {
    // GGA first: it has the most decimals and the finest words for quality
    this.#latitude_deg.push(firstKnown(sentences, 'latitude_deg', 'GGA', 'GNS', 'RMC'));
    this.#longitude_deg.push(firstKnown(sentences, 'longitude_deg', 'GGA', 'GNS', 'RMC'));
    this.#altitude_m.push(firstKnown(sentences, 'altitude_m', 'GGA', 'GNS'));
    this.#speed_m_s.push(firstKnown(sentences, 'speed_m_s', 'RMC', 'VTG'));
    this.#course_deg.push(firstKnown(sentences, 'course_deg', 'RMC', 'VTG'));
    this.#quality.push(firstKnown(sentences, 'quality', 'GGA', 'GNS', 'RMC'));
    this.#satellites.push(firstKnown(sentences, 'satellites', 'GGA', 'GNS'));
    this.#hdop.push(firstKnown(sentences, 'hdop', 'GGA', 'GNS', 'GSA'));
  }
}

function isSameEpoch(epoch: Epoch | undefined, sentence: NmeaSentence): epoch is Epoch {
  return epoch !== undefined && Math.abs(epoch.clock_s - sentence.time_of_day_s) < SAME_EPOCH_S;
}

/** Whether the epoch has a sentence of that type already; GSA comes once for each satellite system. */
function hasTold(epoch: Epoch, sentence: NmeaSentence): boolean {
  return sentence.type !== 'GSA' && epoch.sentences.some(({ type }) => type === sentence.type);
}

function join(epoch: Epoch, sentence: NmeaSentence, tick_us: number): void {
  epoch.sentences.push(sentence);
  epoch.last_tick_us = tick_us;
}

/** The quantity from the first sentence that has it, types in the order given; NaN when none has. */
function firstKnown(
  sentences: readonly NmeaSentence[],
  quantity: Exclude<keyof NmeaSentence, 'type'>,
  first: NmeaSentence['type'],
  second: NmeaSentence['type'],
  third?: NmeaSentence['type'],
): number {
  let best = Number.NaN;
  let rank = 4;
  for (const sentence of sentences) {
    const { type } = sentence;
    const found = type === first ? 1 : type === second ? 2 : type === third ? 3 : 4;
    if (found < rank && !Number.isNaN(sentence[quantity])) {
      best = sentence[quantity];
      rank = found;
    }
  }
  return best;
}
