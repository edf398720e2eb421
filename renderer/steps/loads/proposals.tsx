/** What the log proposes for tickets: times where a ticket has none, a shift where all times seem moved. */
import { useState } from 'react';
import type { LoadProposal } from '../../../core/calibration-result.ts';
import { StateMark } from '../../app/figure.tsx';
import { shiftEdit } from '../../session/calibration-edits.ts';
import { ticketsOf } from '../../session/load-tickets.ts';
import { machineName } from '../../session/season-figures.ts';
import { decimal } from '../../text/quantities.ts';
import { counted } from '../../text/words.ts';
import type { StepContext } from '../panel.tsx';
import { PreviewNote } from '../preview-note.tsx';

export function Proposals(context: StepContext) {
  const { summary, season, session } = context;
  const proposals = summary.load_proposals ?? [];
  return (
    <>
      {proposals.length > 0 && (
        <section>
          <h3>
            Times from the log
            <span className="quiet">{counted(proposals.length, 'ticket')} without times</span>
          </h3>
          <ul className="findings">
            {proposals.map((one) => (
              <li key={one.ticket}>
                <StateMark state="look" />
                <span>
                  Ticket {one.ticket}, {one.field}, {machineName(season, one.machine)}: {timesOf(one)} UTC.{' '}
                  {one.evidence} <span className="quiet">Scatter {decimal(one.scatter_pct, 1)} %.</span>{' '}
                  <button type="button" className="plain" onClick={() => void session.try(takenOver([one]))}>
                    Take over
                  </button>
                </span>
              </li>
            ))}
          </ul>
          {proposals.length > 1 && (
            <button type="button" className="framed" onClick={() => void session.try(takenOver(proposals))}>
              Take over all {proposals.length}
            </button>
          )}
          <PreviewNote isOf={(edit) => edit.kind === 'several' && edit.name.startsWith(TAKEN_OVER)} />
        </section>
      )}
      <TicketNotices {...context} />
    </>
  );
}

const TAKEN_OVER = 'Times from the log';

function takenOver(proposals: readonly LoadProposal[]) {
  const which = proposals.length === 1 ? `ticket ${proposals[0].ticket}` : `${proposals.length} tickets`;
  return {
    kind: 'several' as const,
    name: `${TAKEN_OVER} for ${which}`,
    edits: proposals.map(({ ticket, start_utc, end_utc }) => ({
      kind: 'set_load_span' as const,
      tickets: ticketsOf(ticket),
      span: { start_utc, end_utc },
    })),
  };
}

/** `2026-09-28 17:10 to 17:26` */
function timesOf({ start_utc, end_utc }: LoadProposal): string {
  return `${start_utc.slice(0, 10)} ${start_utc.slice(11, 16)} to ${end_utc.slice(11, 16)}`;
}

/** Codes of notices that speak of a ticket and are not told in the table of loads. */
const TICKET_CODES = /^(?:ticket_|field_ticket_|implausible_bulk_density|.*_ticket)/;

function TicketNotices({ reply, session }: StepContext) {
  const [hours, setHours] = useState('');
  const told = reply.notices.filter(({ code }) => TICKET_CODES.test(code));
  if (told.length === 0) return null;
  const shift = Number(hours);
  const canShift = reply.loads.length > 0 && told.some(({ code }) => code === 'ticket_times_shifted');
  return (
    <section>
      <h3>Tickets to look at</h3>
      <ul className="findings">
        {told.map((notice) => (
          <li key={`${notice.source} ${notice.line} ${notice.code}`}>
            <StateMark state={notice.severity} />
            <span>{notice.text}</span>
          </li>
        ))}
      </ul>
      {canShift && (
        <form
          className="row"
          onSubmit={(event) => {
            event.preventDefault();
            void session.try(shiftEdit(reply.loads, reply.epoch_utc_s, shift, ticketsOf));
          }}
        >
          <label className="entry">
            Move all times by
            <input type="number" step="0.5" value={hours} onChange={({ target }) => setHours(target.value)} />
            h
          </label>
          <button type="submit" className="framed" disabled={!Number.isFinite(shift) || shift === 0}>
            Try it
          </button>
        </form>
      )}
      <PreviewNote isOf={(edit) => edit.kind === 'several' && edit.name.startsWith('Times of all loads')} />
    </section>
  );
}
