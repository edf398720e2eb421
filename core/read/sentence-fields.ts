/** The comma-separated fields of one NMEA sentence, read as numbers without making texts of them. */
import { daysFromCivil, secondsFromClock } from './utc.ts';

const STAR = 0x2a;
const COMMA = 0x2c;
const SPACE = 0x20;
/** Two-digit years below this are of this century; the oldest satellite time is 1980. */
const CENTURY_PIVOT = 80;

/** Sentences of the six types have at most 22 fields; what lies beyond is not asked for. */
const FIELD_LIMIT = 32;

/** Where a field begins that a sentence does not have. */
const PAST_ALL = 2 ** 30;

/** Fields by number, the address being field 0. Empty fields are NaN or ''; nonsense sets `malformed`. */
export class SentenceFields {
  /** Whether a field that was asked for held something that it may not hold. */
  malformed = false;
  /** Of the sentence that `turnToNext` found. */
  checksum = 0;
  #bytes: Uint8Array = new Uint8Array(0);
  #count = 0;
  /** Start of each field, and two past the end of the last one; one list for all sentences. */
  readonly #starts = new Int32Array(FIELD_LIMIT + 1);

  /** Turns to the next sentence: `bytes[start..end)` is what stands between `$` and `*`. */
  turnTo(bytes: Uint8Array, start: number, end: number): void {
    this.malformed = false;
    this.#bytes = bytes;
    this.#starts[0] = start;
    let count = 1;
    for (let i = start; i < end && count < FIELD_LIMIT; i++) {
      if (bytes[i] === COMMA) this.#starts[count++] = i + 1;
    }
    this.#starts[count] = end + 1;
    this.#count = count;
  }

  /**
   * The same when the end is not known: looks for the `*` from `start` on, fields and checksum (exclusive or) in one go.
   * Returns the place of the `*`, or of the first control character, or `limit`, where none stands before them.
   */
  turnToNext(bytes: Uint8Array, start: number, limit: number): number {
    const starts = this.#starts;
    starts[0] = start;
    let count = 1;
    let sum = 0;
    let at = start;
    for (; at < limit; at++) {
      const byte = bytes[at];
      if (byte === STAR || byte < SPACE) break;
      sum ^= byte;
      if (byte === COMMA && count < FIELD_LIMIT) starts[count++] = at + 1;
    }
    starts[count] = at + 1;
    this.malformed = false;
    this.#bytes = bytes;
    this.#count = count;
    this.checksum = sum;
    return at;
  }

  /** Decimal number; NaN when empty. */
  number(field: number): number {
    const start = this.#start(field);
    const end = this.#end(field, start);
    if (start >= end) return Number.NaN;
    const number = decimalFromBytes(this.#bytes, start, end);
    if (Number.isNaN(number)) this.malformed = true;
    return number;
  }

  /** Decimal number that cannot be negative. */
  amount(field: number): number {
    const amount = this.number(field);
    if (amount < 0) this.malformed = true;
    return amount;
  }

  /** Course 0..360 degrees. */
  course(field: number): number {
    const course_deg = this.amount(field);
    if (course_deg > 360) this.malformed = true;
    return course_deg;
  }

  /** `hhmmss.sss` as seconds since midnight. */
  clock(field: number): number {
    const packed = this.#packed(field);
    const whole = Math.floor(packed);
    const hour = Math.floor(whole / 10_000);
    const minute = Math.floor(whole / 100) % 100;
    // digits after the point are taken as written, so that equal times are equal numbers
    const second = (whole % 100) + (packed - whole);
    const clock_s = secondsFromClock(hour, minute, Math.round(second * 1e6) / 1e6);
    if (!Number.isNaN(packed) && Number.isNaN(clock_s)) this.malformed = true;
    return clock_s;
  }

  /** `ddmmyy` as days since 1970-01-01. */
  date(field: number): number {
    const packed = this.#packed(field);
    const year = packed % 100;
    const days = daysFromCivil(
      year + (year < CENTURY_PIVOT ? 2000 : 1900),
      Math.floor(packed / 100) % 100,
      Math.floor(packed / 10_000),
    );
    if (!Number.isNaN(packed) && Number.isNaN(days)) this.malformed = true;
    return days;
  }

  /** `ddmm.mmmm` and N or S in the next field as degrees, negative for S. */
  latitude(field: number): number {
    return this.#angle(field, 'N', 'S', 90);
  }

  /** `dddmm.mmmm` and E or W in the next field as degrees, negative for W. */
  longitude(field: number): number {
    return this.#angle(field, 'E', 'W', 180);
  }

  #angle(field: number, positive: string, negative: string, limit_deg: number): number {
    const packed = this.amount(field);
    if (Number.isNaN(packed)) return Number.NaN;
    const letter = this.letter(field + 1);
    const degrees = Math.floor(packed / 100);
    const minutes = packed - 100 * degrees;
    const angle_deg = degrees + minutes / 60;
    if (minutes >= 60 || angle_deg > limit_deg || (letter !== positive && letter !== negative)) {
      this.malformed = true;
    }
    return letter === negative ? -angle_deg : angle_deg;
  }

  /** First letter of the field, '' when empty. */
  letter(field: number): string {
    const start = this.#start(field);
    return start < this.#end(field, start) ? String.fromCharCode(this.#bytes[start]) : '';
  }

  /** The whole field as text. */
  letters(field: number): string {
    const start = this.#start(field);
    const end = this.#end(field, start);
    let text = '';
    for (let i = start; i < end; i++) text += String.fromCharCode(this.#bytes[i]);
    return text;
  }

  /** A number of six digits before the point, as times and dates are. */
  #packed(field: number): number {
    const packed = this.amount(field);
    if (Number.isNaN(packed)) return packed;
    const start = this.#start(field);
    let digits = 0;
    while (isDigit(this.#bytes[start + digits])) digits++;
    if (digits !== 6) this.malformed = true;
    return packed;
  }

  /** Where the field begins, without leading spaces; past its end when the sentence has no such field. */
  #start(field: number): number {
    if (field >= this.#count) return PAST_ALL;
    let start = this.#starts[field];
    while (this.#bytes[start] === SPACE) start++;
    return start;
  }

  #end(field: number, start: number): number {
    if (field >= this.#count) return 0;
    let end = this.#starts[field + 1] - 1;
    while (start < end && this.#bytes[end - 1] === SPACE) end--;
    return end;
  }
}

/** No receiver or sensor says a larger number; what is, is damage. */
const LARGEST_NUMBER = 1e15;

/** `.` as a digit. */
const POINT = 0x2e - 48;
/** All powers that doubles hold exactly. */
const POWERS_OF_TEN = Float64Array.from({ length: 23 }, (_, power) => Number(`1e${power}`));
/** Digits that a 32-bit integer holds, and those that a double holds exactly. */
const INT_DIGITS = 8;
const EXACT_DIGITS = 15;

/**
 * Decimal number in `bytes[start..end)`: optional sign, digits, optional point; no exponent. NaN for anything else, and beyond ±1e15.
 * Up to 15 digits are rounded once (whole number over a power of ten), so that the result is that of `Number()`.
 */
export function decimalFromBytes(bytes: Uint8Array, start: number, end: number): number {
  let at = start;
  const negative = bytes[at] === 0x2d;
  if (at < end && (negative || bytes[at] === 0x2b)) at++;
  const first = at;
  // two integers of eight digits each: a double a digit would be waited for digit by digit
  let high = 0;
  let low = 0;
  let digits = 0;
  let point = -1;
  for (; at < end; at++) {
    const digit = bytes[at] - 48;
    if (digit >= 0 && digit <= 9) {
      if (digits < INT_DIGITS) high = (high * 10 + digit) | 0;
      else low = (low * 10 + digit) | 0;
      digits++;
    } else if (digit === POINT && point < 0) {
      point = digits;
    } else {
      return Number.NaN;
    }
  }
  if (digits === 0) return Number.NaN;
  let whole = high;
  if (digits > EXACT_DIGITS) whole = longWhole(bytes, first, end);
  else if (digits > INT_DIGITS) whole = high * POWERS_OF_TEN[digits - INT_DIGITS] + low;
  const decimals = point < 0 ? 0 : digits - point;
  const size = decimals === 0 ? whole : whole / (POWERS_OF_TEN[decimals] ?? 10 ** decimals);
  if (!(size <= LARGEST_NUMBER)) return Number.NaN;
  return negative ? -size : size;
}

/** The digits as one number, more of them than a double holds exactly; a point is passed over. */
function longWhole(bytes: Uint8Array, start: number, end: number): number {
  let whole = 0;
  for (let at = start; at < end; at++) if (bytes[at] !== 0x2e) whole = whole * 10 + (bytes[at] - 48);
  return whole;
}

function isDigit(byte: number): boolean {
  return byte >= 48 && byte <= 57;
}
