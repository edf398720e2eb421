/**
 * Dates for epochs that carry only a clock time.
 *
 * GGA, GNS and VTG have no date; RMC and ZDA have one, perhaps seconds later, perhaps never again. Days are therefore
 * counted from the first epoch on (`relative`), one more whenever the clock falls through midnight, and tied to the
 * calendar by the first date that is seen: this dates the epochs before it, too.
 */
import { S_PER_DAY } from './utc.ts';

/** A clock that falls by more than this has passed midnight; smaller falls are lines out of order. */
const MIDNIGHT_FALL_S = S_PER_DAY / 2;
/** Dates that still show yesterday are put right only this close to midnight; elsewhere the receiver is believed. */
const NEAR_MIDNIGHT_S = 600;

export class FixCalendar {
  /** Day of the latest epoch, counted from the first one. */
  #relative = 0;
  #lastClock_s = Number.NaN;
  /** Days since 1970-01-01 of relative day 0; NaN until a date was seen. */
  #dayZero = Number.NaN;
  #lagging = false;

  /**
   * Takes the next valid epoch: its clock time (seconds since midnight) and the date that it carries itself (days since
   * 1970-01-01, NaN when none). Returns its relative day; `dayZero()` added to it is the date.
   */
  advance(clock_s: number, ownDay: number): number {
    const carried = this.#relative + this.#midnights(clock_s);
    if (Number.isNaN(ownDay)) {
      this.#relative = carried;
    } else if (Number.isNaN(this.#dayZero)) {
      this.#dayZero = ownDay - carried;
      this.#relative = carried;
    } else {
      const own = ownDay - this.#dayZero;
      this.#lagging =
        own === carried - 1 && clock_s < NEAR_MIDNIGHT_S && (this.#lagging || carried > this.#relative);
      this.#relative = this.#lagging ? carried : own;
    }
    this.#lastClock_s = clock_s;
    return this.#relative;
  }

  /** Days since 1970-01-01 of relative day 0; NaN when no date was ever seen. */
  dayZero(): number {
    return this.#dayZero;
  }

  /** +1 when the clock fell through midnight since the last epoch, −1 when it jumped back over it, else 0. */
  #midnights(clock_s: number): number {
    const last_s = this.#lastClock_s;
    if (last_s - clock_s > MIDNIGHT_FALL_S) return 1;
    if (last_s < NEAR_MIDNIGHT_S && clock_s > S_PER_DAY - NEAR_MIDNIGHT_S) return -1;
    return 0;
  }
}
