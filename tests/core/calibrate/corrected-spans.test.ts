import { describe, expect, it } from 'vitest';
import { withCorrectedSpans } from '../../../core/calibrate/corrected-spans.ts';
import type { Ticket } from '../../../core/read/ticket.ts';

const ticket = (number: string, start_utc_s: number, end_utc_s: number) =>
  ({ ticket: number, start_utc_s, end_utc_s, net_kg: 5000 }) as Ticket;

/** 2026-10-03T12:00:00Z */
const NOON = 1_791_028_800;
const SPAN = { ticket: '7', start_utc: '2026-10-03T12:05:00Z', end_utc: '2026-10-03T12:40:00Z' };
const timesOf = (tickets: readonly Ticket[]) =>
  tickets.map(({ start_utc_s, end_utc_s }) => [start_utc_s - NOON, end_utc_s - NOON]);

describe('loads whose times were corrected by hand', () => {
  it('have those times; others, and the tickets themselves, stay', () => {
    const tickets = [ticket('7', NOON, NOON + 1800), ticket('8', NOON + 3600, NOON + 5400)];
    expect(timesOf(withCorrectedSpans(tickets, [SPAN]))).toEqual([
      [300, 2400],
      [3600, 5400],
    ]);
    expect(timesOf(tickets)[0]).toEqual([0, 1800]);
    expect(withCorrectedSpans(tickets, undefined)).toBe(tickets);
  });

  it('of one number on two days are told apart by the nearer start', () => {
    const tickets = [ticket('7', NOON - 86_400, NOON - 84_600), ticket('7', NOON, NOON + 1800)];
    expect(timesOf(withCorrectedSpans(tickets, [SPAN]))).toEqual([
      [-86_400, -84_600],
      [300, 2400],
    ]);
  });

  it('may have had none before', () => {
    expect(timesOf(withCorrectedSpans([ticket('7', Number.NaN, Number.NaN)], [SPAN]))).toEqual([[300, 2400]]);
  });
});
