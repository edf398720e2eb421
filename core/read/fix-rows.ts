/** The growing table of a run's fixes, row by row in pieces; columns are made of it in the end. */
import {
  ALTITUDE,
  COURSE,
  type Epoch,
  HDOP,
  LATITUDE,
  LONGITUDE,
  QUALITY,
  SATELLITES,
  SPEED,
} from './epoch.ts';
import type { FixColumns } from './logger-run.ts';
import { S_PER_DAY } from './utc.ts';

/** Numbers a row: day, clock, counter, and what the epoch told. */
const ROW = 11;
const FIRST_ROWS = 64;
const MOST_ROWS = 4096;
const TOLD = [LATITUDE, LONGITUDE, ALTITUDE, SPEED, COURSE, QUALITY, SATELLITES, HDOP] as const;

export class FixRows {
  #pieces: Float64Array[] = [];
  #piece = new Float64Array(ROW * FIRST_ROWS);
  /** Numbers in the piece at hand; rows before it. */
  #filled = 0;
  #before = 0;

  /** The epoch as a row; `relativeDay` counts from a day that is known in the end. */
  add(epoch: Epoch, relativeDay: number): void {
    if (this.#filled === this.#piece.length) this.#nextPiece();
    const piece = this.#piece;
    const at = this.#filled;
    piece[at] = relativeDay;
    piece[at + 1] = epoch.clock_s;
    piece[at + 2] = epoch.tick_us;
    for (let k = 0; k < TOLD.length; k++) piece[at + 3 + k] = epoch.told[TOLD[k]];
    this.#filled = at + ROW;
  }

  /** All rows; `dayZero` is that of relative day 0 (days since 1970-01-01). The table is empty afterwards. */
  toColumns(dayZero: number): FixColumns {
    this.#pieces.push(this.#piece.subarray(0, this.#filled));
    const utc_s = this.#column(1);
    const relativeDay = this.#column(0);
    for (let i = 0; i < utc_s.length; i++) utc_s[i] += (relativeDay[i] + dayZero) * S_PER_DAY;
    const columns = {
      tick_us: this.#column(2),
      utc_s,
      latitude_deg: this.#column(3),
      longitude_deg: this.#column(4),
      altitude_m: this.#column(5),
      speed_m_s: this.#column(6),
      course_deg: this.#column(7),
      quality: this.#column(8),
      satellites: this.#column(9),
      hdop: this.#column(10),
    };
    this.#pieces = [];
    this.#piece = new Float64Array(ROW);
    this.#filled = 0;
    this.#before = 0;
    return columns;
  }

  #column(number: number): Float64Array {
    const column = new Float64Array(this.#before + this.#filled / ROW);
    let row = 0;
    for (const piece of this.#pieces) {
      for (let at = number; at < piece.length; at += ROW) column[row++] = piece[at];
    }
    return column;
  }

  #nextPiece(): void {
    this.#pieces.push(this.#piece);
    this.#before += this.#filled / ROW;
    this.#piece = new Float64Array(Math.min(2 * this.#piece.length, ROW * MOST_ROWS));
    this.#filled = 0;
  }
}
