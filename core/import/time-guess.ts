/** Which columns of a table hold the time, and how it is written. */

import { type DateOrder, daysFromDateText, secondsFromClockText } from '../read/date-text.ts';
import { S_PER_DAY, SERIAL_DAY_ZERO, timeFromIso } from '../read/utc.ts';
import type { ColumnMappingSheet, MappedQuantity } from '../season.ts';
import { shownText } from '../shown-text.ts';
import { type ColumnGuess, guessOf } from './column-guess.ts';
import { type ColumnProfile, MOST_DISTINCT, type TableSample } from './column-profile.ts';
import { dateOrderOf, type Place } from './date-order.ts';
import { topicFit, unitOfHeader } from './header-words.ts';

export interface TimeGuess {
  /** `time`, or `date` and `clock_time`; empty when no column can be the time. */
  readonly guesses: readonly ColumnGuess[];
  /** Unix seconds of the sampled rows as written, an offset from UTC being left to whoever knows it; NaN where unread. */
  readonly written_s: Float64Array;
  /** `utc`: it says so itself, or counts from a moment in UTC; `unsaid`: as a clock on a wall, somewhere. */
  readonly zone: 'utc' | 'unsaid';
  /** What the sample leaves open, e.g. whether 9/10 is in September or October; one sentence. */
  readonly doubt?: string;
}

interface Candidate extends TimeGuess {
  readonly confidence: number;
}

/** Moments that a log of a combine can have: 1990 to 2080. */
const EARLIEST_S = 631_152_000;
const LATEST_S = 3_471_292_800;
/** So many of the cells must be read for a form to count … */
const READ_SHARE = 0.9;
/** … and so many of the steps must not go back. */
const FORWARD_SHARE = 0.9;

export function guessTime(sample: TableSample, place: Place): TimeGuess {
  const whole = sample.columns.flatMap((profile) => wholeMoments(profile, sample, place));
  const parted = dateAndClock(sample, place);
  const best = [...whole, ...parted].sort((a, b) => b.confidence - a.confidence)[0];
  if (best === undefined)
    return { guesses: [], written_s: new Float64Array(sample.rows).fill(Number.NaN), zone: 'utc' };
  return best;
}

/** Ways in which one column can hold date and time. */
function wholeMoments(profile: ColumnProfile, sample: TableSample, place: Place): Candidate[] {
  const forms: readonly [unit: string, what: string, read: (i: number) => number, zone: TimeGuess['zone']][] =
    [
      ['unix_s', 'seconds since 1970', (i) => profile.numbers[i], 'utc'],
      ['unix_ms', 'milliseconds since 1970', (i) => profile.numbers[i] / 1000, 'utc'],
      [
        'days_1899_12_30',
        'days as spreadsheets count them',
        (i) => (profile.numbers[i] + SERIAL_DAY_ZERO) * S_PER_DAY,
        'unsaid',
      ],
    ];
  const found: Candidate[] = [];
  if (profile.numberShare >= READ_SHARE) {
    for (const [unit, what, read, zone] of forms) {
      const written_s = Float64Array.from(profile.cells, (_, i) => read(i));
      // whole numbers of days are dates, not moments
      if (unit === 'days_1899_12_30' && profile.decimals < 3) continue;
      found.push(...candidate(profile, sample, unit, `${what}, running forward`, written_s, zone));
    }
    return found;
  }
  const iso = profile.cells.map((cell) => (/[T ]\d/.test(cell) ? timeFromIso(cell) : undefined));
  const zoned = iso.filter((moment) => moment?.zoned).length;
  const said = zoned > 0 && zoned >= READ_SHARE * iso.filter((moment) => moment !== undefined).length;
  const isoTimes = Float64Array.from(iso, (moment) => moment?.utc_s ?? Number.NaN);
  found.push(
    ...candidate(
      profile,
      sample,
      'iso',
      `dates and times such as ${firstCell(profile)}`,
      isoTimes,
      said ? 'utc' : 'unsaid',
    ),
  );
  if (found.length > 0) return found;
  const parts = profile.cells.map(splitAtBlank);
  const order = dateOrderOf(
    parts.map(([date]) => date),
    place,
  );
  if (order === undefined) return [];
  const written_s = Float64Array.from(parts, ([date, clock]) => momentOf(date, clock, order.order));
  const what = `dates and times such as ${firstCell(profile)}, ${order.reason}`;
  return candidate(profile, sample, order.order, what, written_s, 'unsaid', order);
}

function candidate(
  profile: ColumnProfile,
  sample: TableSample,
  unit: string,
  what: string,
  written_s: Float64Array,
  zone: TimeGuess['zone'],
  order: { readonly confidence: number; readonly doubt?: string } = { confidence: 1 },
): Candidate[] {
  const fit = Math.max(topicFit(profile.words, 'time'), 0.9 * topicFit(profile.words, 'date'));
  const quality = qualityOf(written_s, sample.contiguous);
  if (quality === 0) return [];
  const confidence = quality * order.confidence * (0.7 + 0.28 * fit);
  const said = saysUtc(profile) ? 'utc' : zone;
  return [
    {
      guesses: [guessOf(profile, 'time', unit, confidence, `${what}.`)],
      written_s,
      zone: said,
      confidence,
      ...(order.doubt === undefined ? {} : { doubt: order.doubt }),
    },
  ];
}

/** 0: no time; else up to 1. A time tells rows apart: what hardly changes is a date or a number of something. */
function qualityOf(written_s: Float64Array, contiguous: number): number {
  let read = 0;
  let forward = 0;
  let steps = 0;
  let moved = 0;
  for (let i = 0; i < written_s.length; i++) {
    if (!(written_s[i] >= EARLIEST_S && written_s[i] <= LATEST_S)) continue;
    read++;
    if (i === 0 || i >= contiguous || Number.isNaN(written_s[i - 1])) continue;
    steps++;
    if (written_s[i] >= written_s[i - 1]) forward++;
    if (written_s[i] !== written_s[i - 1]) moved++;
  }
  if (read < READ_SHARE * written_s.length) return 0;
  // a single row has no step to judge by
  if (steps === 0) return 0.6;
  if (forward < FORWARD_SHARE * steps || moved < 0.02 * steps) return 0;
  return forward / steps;
}

/** Pairs of a date column and a clock column. */
function dateAndClock(sample: TableSample, place: Place): Candidate[] {
  const dates = sample.columns.flatMap((profile) => dateColumn(profile, place));
  const clocks = sample.columns.flatMap(clockColumn);
  return dates.flatMap((date) =>
    clocks.flatMap((clock) => {
      if (date.profile === clock.profile) return [];
      const written_s = date.days.map((days, i) => days * S_PER_DAY + clock.seconds[i]);
      const quality = qualityOf(written_s, sample.contiguous);
      const fit = (topicFit(date.profile.words, 'date') + topicFit(clock.profile.words, 'clock_time')) / 2;
      if (quality === 0) return [];
      const confidence = quality * date.confidence * (0.55 + 0.42 * fit);
      const zone = saysUtc(date.profile) || saysUtc(clock.profile) ? 'utc' : 'unsaid';
      return [
        {
          guesses: [
            guessOf(
              date.profile,
              'date',
              date.unit,
              confidence,
              `dates such as ${firstCell(date.profile)}${date.said}.`,
            ),
            guessOf(
              clock.profile,
              'clock_time',
              clock.unit,
              confidence,
              `times of day such as ${firstCell(clock.profile)}.`,
            ),
          ],
          written_s,
          zone: zone as TimeGuess['zone'],
          confidence,
          ...(date.doubt === undefined ? {} : { doubt: date.doubt }),
        },
      ];
    }),
  );
}

interface DateColumn {
  readonly profile: ColumnProfile;
  readonly unit: string;
  readonly days: Float64Array;
  readonly confidence: number;
  readonly said: string;
  readonly doubt?: string;
}

function dateColumn(profile: ColumnProfile, place: Place): DateColumn[] {
  // a log has few days; a column with many different cells is none
  if (profile.distinct >= MOST_DISTINCT || profile.filledShare < READ_SHARE) return [];
  const fit = topicFit(profile.words, 'date');
  if (profile.numberShare >= READ_SHARE && fit > 0 && profile.least > 30_000 && profile.most < 60_000) {
    const days = profile.numbers.map((number) => Math.floor(number) + SERIAL_DAY_ZERO);
    return [
      { profile, unit: 'days_1899_12_30', days, confidence: 0.9, said: ', days as spreadsheets count them' },
    ];
  }
  const order = dateOrderOf(profile.cells, place);
  if (order === undefined) return [];
  // six or eight digits in a row need the heading to be a date
  if (profile.numberShare >= READ_SHARE && fit === 0) return [];
  const days = Float64Array.from(profile.cells, (cell) => daysFromDateText(cell, order.order));
  return [{ profile, unit: order.order, days, said: `, ${order.reason}`, ...order }];
}

interface ClockColumn {
  readonly profile: ColumnProfile;
  readonly unit: string;
  readonly seconds: Float64Array;
}

function clockColumn(profile: ColumnProfile): ClockColumn[] {
  if (profile.filledShare < READ_SHARE || profile.distinct < 2) return [];
  const seconds = Float64Array.from(profile.cells, secondsFromClockText);
  const read = seconds.filter((s) => !Number.isNaN(s)).length;
  const said = unitOfHeader(profile.words, 'clock_time');
  if (read >= READ_SHARE * seconds.length) return [{ profile, unit: 'hms', seconds }];
  if (profile.numberShare < READ_SHARE || topicFit(profile.words, 'clock_time') === 0 || profile.least < 0)
    return [];
  if (profile.most <= 1 && profile.decimals >= 4) {
    return [{ profile, unit: 'day_fraction', seconds: profile.numbers.map((part) => part * S_PER_DAY) }];
  }
  if (said !== undefined && 'unit' in said && said.unit === 'ms') {
    return [{ profile, unit: 'ms', seconds: profile.numbers.map((ms) => ms / 1000) }];
  }
  if (profile.most <= S_PER_DAY) return [{ profile, unit: 's', seconds: profile.numbers }];
  if (profile.most <= S_PER_DAY * 1000) {
    return [{ profile, unit: 'ms', seconds: profile.numbers.map((ms) => ms / 1000) }];
  }
  return [];
}

function splitAtBlank(cell: string): readonly [date: string, clock: string] {
  const blank = cell.indexOf(' ');
  return blank < 0 ? ['', ''] : [cell.slice(0, blank), cell.slice(blank).trim()];
}

function momentOf(date: string, clock: string, order: DateOrder): number {
  return daysFromDateText(date, order) * S_PER_DAY + secondsFromClockText(clock);
}

function saysUtc({ words }: ColumnProfile): boolean {
  return words.tokens.some((token) => ['utc', 'gmt', 'gps', 'zulu'].includes(token));
}

/** The first cell with something in it, in quotes. */
function firstCell({ cells }: ColumnProfile): string {
  const cell = cells.find((one) => one !== '') ?? '';
  return `"${shownText(cell, 40)}"`;
}

/** Quantities that make up the time. */
export const TIME_QUANTITIES: readonly MappedQuantity[] = ['time', 'date', 'clock_time'];

/** The offset as a mapping writes it: −5 h → `-05:00`. */
export function offsetText(offset_s: number): NonNullable<ColumnMappingSheet['utc_offset']> {
  const minutes = Math.round(Math.abs(offset_s) / 60);
  const two = (n: number) => String(n).padStart(2, '0');
  return `${offset_s < 0 ? '-' : '+'}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
}
