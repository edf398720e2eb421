import { describe, expect, it } from 'vitest';
import { daysFromDateText, secondsFromClockText } from '../../../core/read/date-text.ts';
import { daysFromCivil, offsetFromText, SERIAL_DAY_ZERO, timeFromIso } from '../../../core/read/utc.ts';

describe('daysFromCivil', () => {
  it('agrees with the engine’s calendar on every day from 1895 to 2105', () => {
    const last = Date.UTC(2105, 11, 31) / 86_400_000;
    for (let day = Date.UTC(1895, 0, 1) / 86_400_000; day <= last; day++) {
      const date = new Date(day * 86_400_000);
      if (daysFromCivil(date.getUTCFullYear(), date.getUTCMonth() + 1, date.getUTCDate()) !== day) {
        throw new Error(`wrong on ${date.toISOString()}`);
      }
    }
    expect(daysFromCivil(1970, 1, 1)).toBe(0);
  });

  it.each([
    [2023, 2, 29],
    [2100, 2, 29],
    [2024, 4, 31],
    [2024, 13, 1],
    [2024, 0, 1],
    [2024, 1, 0],
    [Number.NaN, 1, 1],
  ])('has no day %d-%d-%d', (year, month, day) => {
    expect(daysFromCivil(year, month, day)).toBeNaN();
  });

  it('puts day zero of serial dates on 1899-12-30', () => {
    expect(daysFromCivil(1899, 12, 30)).toBe(SERIAL_DAY_ZERO);
  });
});

describe('timeFromIso', () => {
  it.each([
    ['2026-09-14T13:05:00Z', '2026-09-14T13:05:00.000Z', true],
    ['2026-09-14T13:05:00.250Z', '2026-09-14T13:05:00.250Z', true],
    ['2026-09-14T13:05:00+02:00', '2026-09-14T11:05:00.000Z', true],
    ['2026-09-14T13:05:00-0530', '2026-09-14T18:35:00.000Z', true],
    ['2026-12-31 23:30-05', '2027-01-01T04:30:00.000Z', true],
    [' 2026-09-14 13:05 ', '2026-09-14T13:05:00.000Z', false],
    ['2026-09-14T13:05:00', '2026-09-14T13:05:00.000Z', false],
    ['2026-09-14', '2026-09-14T00:00:00.000Z', false],
  ])('reads %s', (text, iso, zoned) => {
    const written = timeFromIso(text);
    expect(written?.zoned).toBe(zoned);
    expect(new Date(Math.round((written?.utc_s ?? Number.NaN) * 1000)).toISOString()).toBe(iso);
  });

  it.each([
    '',
    '14.09.2026',
    '2026-02-30T00:00:00Z',
    '2026-09-14T25:00:00Z',
    '2026-09-14T13:60Z',
    '1789000000',
    '2026-9-4',
  ])('refuses "%s"', (text) => {
    expect(timeFromIso(text)).toBeUndefined();
  });

  it('refuses an offset that no place has', () => {
    expect(timeFromIso('2026-09-14T13:05:00+15:00')).toBeUndefined();
    expect(offsetFromText('02:00')).toBeNaN();
    expect(offsetFromText('-5')).toBe(-18_000);
  });
});

describe('dates and clock times of tables', () => {
  const day = daysFromCivil(2026, 9, 4);

  it.each([
    ['2026-09-04', 'ymd'],
    ['2026/9/4', 'ymd'],
    ['20260904', 'ymd'],
    ['9/4/2026', 'mdy'],
    ['09-04-26', 'mdy'],
    ['090426', 'mdy'],
    ['4.9.2026', 'dmy'],
    ['040926', 'dmy'],
    ['04092026', 'dmy'],
  ] as const)('reads %s as %s', (text, order) => {
    expect(daysFromDateText(text, order)).toBe(day);
  });

  it('refuses what is no date in that order', () => {
    expect(daysFromDateText('14/9/2026', 'mdy')).toBeNaN();
    expect(daysFromDateText('today', 'ymd')).toBeNaN();
  });

  it.each([
    ['14:05', 50_700],
    ['14:05:30', 50_730],
    ['14:05:30.25', 50_730.25],
    ['14:05:30,5', 50_730.5],
    ['2:05 PM', 50_700],
    ['12:00 AM', 0],
    ['12:00 pm', 43_200],
    ['140530', 50_730],
    ['140530.5', 50_730.5],
    ['24:00', Number.NaN],
    ['13:00 PM', Number.NaN],
    ['noon', Number.NaN],
  ])('reads %s as %d s', (text, clock_s) => {
    expect(secondsFromClockText(text)).toBe(clock_s);
  });
});
