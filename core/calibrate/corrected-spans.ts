/** Start and end of loads as somebody corrected them, laid over those on the tickets; the ticket files stay as they are. */
import type { LoadSpanSheet } from '../calibration-sheet.ts';
import type { Ticket } from '../read/ticket.ts';
import { timeFromIso } from '../read/utc.ts';

/**
 * The tickets with their corrected times. Of tickets with one number but other times, which are other loads, those are meant
 * whose start is nearest; a ticket without times comes last. A correction of a number that no ticket has does nothing.
 */
export function withCorrectedSpans(
  tickets: readonly Ticket[],
  spans: readonly LoadSpanSheet[] | undefined,
): readonly Ticket[] {
  if (spans === undefined || spans.length === 0) return tickets;
  const corrected = [...tickets];
  for (const { ticket: number, start_utc, end_utc } of spans) {
    const start_utc_s = momentOf(start_utc);
    const end_utc_s = momentOf(end_utc);
    const meant = nearest(
      tickets.filter(({ ticket }) => ticket === number),
      start_utc_s,
    );
    for (const [at, ticket] of tickets.entries())
      if (ticket.ticket === number && Object.is(ticket.start_utc_s, meant))
        corrected[at] = { ...ticket, start_utc_s, end_utc_s };
  }
  return corrected;
}

function momentOf(utc: string): number {
  return timeFromIso(utc)?.utc_s ?? Number.NaN;
}

/** Start of the load that is meant; NaN for tickets without times. */
function nearest(tickets: readonly Ticket[], start_utc_s: number): number {
  let best = Number.NaN;
  for (const { start_utc_s: start } of tickets) {
    if (Number.isNaN(start)) continue;
    if (!(Math.abs(start - start_utc_s) >= Math.abs(best - start_utc_s))) best = start;
  }
  return best;
}
