/** Times proposed for tickets whose own seem moved by whole hours or days: those that a shift of all would give. */
import type { LoadProposal } from '../calibration-result.ts';
import { isoFromUnix } from '../iso-time.ts';
import type { Ticket } from '../read/ticket.ts';
import { grainOfClaim } from './claimed-grain.ts';
import { type BeamRecord, type CutField, claimsOfTickets, type TicketClaim } from './ticket-claims.ts';
import { fillsWindow, moved, shiftText, shiftToAgreement, shiftToRunning } from './ticket-shift.ts';

const S_PER_HOUR = 3600;

/**
 * For tickets whose windows hold no beam data: the shift that puts most of them on a running elevator, for each that it
 * does so. When all hold some: the shift with which scale and beam agree, for all. Empty when no shift is found.
 */
export function proposeShifts(
  tickets: readonly Ticket[],
  records: readonly BeamRecord[],
  fields: readonly CutField[],
  epoch_utc_s: number,
): readonly LoadProposal[] {
  const timed = claimsOfTickets(tickets, records, fields, epoch_utc_s).claims.filter(
    ({ window }) => window !== undefined,
  );
  const empty = timed.filter((claim) => !grainOfClaim(claim, records).some(({ amount }) => amount > 0));
  const hours = empty.length > 0 ? shiftToRunning(empty, records) : shiftToAgreement(timed, records);
  if (hours === undefined) return [];
  const evidence =
    empty.length > 0
      ? `no beam data at the ticket's own times; with ${shiftText(hours)} added they fall on running time`
      : `with ${shiftText(hours)} added to all tickets, scale and beam agree from load to load`;
  const concerned = empty.length > 0 ? empty : timed;
  return concerned
    .filter((claim) => fillsWindow(moved(claim, hours), records))
    .flatMap((claim) => claim.tickets.map((ticket) => proposal(claim, ticket)));

  function proposal({ machine, field, window }: TicketClaim, { ticket }: Ticket): LoadProposal {
    const utc = (t_s = Number.NaN) =>
      isoFromUnix(Math.round(epoch_utc_s + t_s + (hours ?? 0) * S_PER_HOUR)) ?? '';
    return {
      ticket,
      machine: machine ?? '',
      field: field?.name ?? '',
      start_utc: utc(window?.start_s),
      end_utc: utc(window?.end_s),
      scatter_pct: null,
      evidence,
    };
  }
}
