/**
 * Sentences of one epoch joined on UTC into one row of `FixColumns`.
 *
 * A receiver tells one moment in several sentences, in an order of its own. Those with a clock time belong to the epoch
 * of that time; the epoch before stays open, too, for one that comes late. Those without (VTG, GSA, and everything
 * while the receiver has no time) belong to the epoch being told, unless it already has a sentence of that type, or,
 * where the logger stamped them, unless they stand nearer to the next sentence: some receivers say VTG first.
 */
import type { DamageTally } from './damage.ts';
import { DAY, Epoch } from './epoch.ts';
import { FixCalendar } from './fix-calendar.ts';
import { FixRows } from './fix-rows.ts';
import type { FixColumns } from './logger-run.ts';
import type { NmeaSentence } from './nmea.ts';
import { S_PER_DAY } from './utc.ts';

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
  readonly #rows = new FixRows();
  /** Clock time of the latest epoch that no counter puts in order. */
  #bareClock_s = Number.NaN;

  /** Epochs without a valid position are counted as `bad_fix` in `damage`, sentences without a counter that step back in time as `out_of_order`. */
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
      this.#current.join(sentence, tick_us);
    } else if (isSameEpoch(this.#previous, sentence)) {
      this.#previous.join(sentence, tick_us);
    } else {
      this.#open(sentence, tick_us, line);
    }
  }

  /** Closes what is open and gives the rows that are left in the order of arrival. */
  finish(): FixColumns {
    if (this.#current) this.#joinWaiting(this.#current);
    this.#close(this.#previous);
    this.#close(this.#current);
    this.#previous = undefined;
    this.#current = undefined;
    return this.#rows.toColumns(this.#calendar.dayZero());
  }

  /** The rows so far, which are forgotten; none while the date is not known yet. */
  drain(): FixColumns | undefined {
    const dayZero = this.#calendar.dayZero();
    return Number.isNaN(dayZero) ? undefined : this.#rows.toColumns(dayZero);
  }

  #addUntimed(sentence: NmeaSentence, tick_us: number, line: number): void {
    const epoch = this.#current;
    const positional = sentence.type !== 'VTG' && sentence.type !== 'GSA';
    const told = epoch?.hasTold(sentence.type);
    if (positional && (!epoch || told)) this.#open(sentence, tick_us, line);
    else if (!epoch || told || !Number.isNaN(tick_us))
      this.#waiting.push({ sentence: { ...sentence }, tick_us, line });
    else epoch.join(sentence, tick_us);
  }

  #open(sentence: NmeaSentence, tick_us: number, line: number): void {
    if (this.#current) this.#settleWaiting(this.#current, tick_us);
    this.#close(this.#previous);
    const first = this.#waiting[0];
    const epoch = this.#previous ?? new Epoch();
    this.#previous = this.#current;
    this.#current = epoch;
    epoch.begin(sentence.time_of_day_s, first ? first.tick_us : tick_us, first ? first.line : line);
    for (const one of this.#waiting) epoch.join(one.sentence, one.tick_us);
    epoch.join(sentence, tick_us);
    if (first) this.#waiting = [];
  }

  #joinWaiting(epoch: Epoch): void {
    if (this.#waiting.length === 0) return;
    for (const one of this.#waiting) epoch.join(one.sentence, one.tick_us);
    this.#waiting = [];
  }

  /** Gives `epoch` the waiting sentences that stand nearer to it than to the next epoch, which begins at `next_tick_us`. */
  #settleWaiting(epoch: Epoch, next_tick_us: number): void {
    if (this.#waiting.length === 0) return;
    const rest: Waiting[] = [];
    for (const one of this.#waiting) {
      const nearerToNext = next_tick_us - one.tick_us < one.tick_us - epoch.last_tick_us;
      if (rest.length > 0 || nearerToNext || epoch.hasTold(one.sentence.type)) rest.push(one);
      else epoch.join(one.sentence, one.tick_us);
    }
    this.#waiting = rest;
  }

  /** A clock that falls by more than half a day has passed midnight. */
  #judgeOrder({ clock_s, sentences, line }: Epoch): void {
    const fall_s = this.#bareClock_s - clock_s;
    if (fall_s > 0 && fall_s < S_PER_DAY / 2) this.#damage.add('out_of_order', line, sentences);
    if (!Number.isNaN(clock_s)) this.#bareClock_s = clock_s;
  }

  #close(epoch: Epoch | undefined): void {
    if (!epoch) return;
    if (Number.isNaN(epoch.tick_us)) this.#judgeOrder(epoch);
    if (epoch.isRefused) {
      this.#damage.add('bad_fix', epoch.line);
      return;
    }
    const day = epoch.told[DAY];
    if (!epoch.claimsPlace) {
      if (!Number.isNaN(day + epoch.clock_s)) this.#calendar.advance(epoch.clock_s, day);
      return;
    }
    const timed = !Number.isNaN(epoch.clock_s);
    this.#rows.add(epoch, timed ? this.#calendar.advance(epoch.clock_s, day) : Number.NaN);
  }
}

function isSameEpoch(epoch: Epoch | undefined, sentence: NmeaSentence): epoch is Epoch {
  return epoch !== undefined && Math.abs(epoch.clock_s - sentence.time_of_day_s) < SAME_EPOCH_S;
}
