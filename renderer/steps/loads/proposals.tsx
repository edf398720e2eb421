/** What the log proposes for tickets: times where a ticket has none, or where its own fall on no grain. */
import type { LoadProposal } from '../../../core/calibration-result.ts';
import { StateMark } from '../../app/figure.tsx';
import { EXCHANGED } from '../../session/exchange-edit.ts';
import { ticketsOf } from '../../session/load-tickets.ts';
import { machineName } from '../../session/season-figures.ts';
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
            <span className="quiet">{counted(proposals.length, 'ticket')}</span>
          </h3>
          <ul className="findings">
            {proposals.map((one) => (
              <li key={one.ticket}>
                <StateMark state="look" />
                <span>
                  Ticket {one.ticket}
                  {placeOf(one.field, one.machine === '' ? '' : machineName(season, one.machine))}:{' '}
                  {timesOf(one)} UTC; {one.evidence}.{' '}
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
        </section>
      )}
      {/* What is tried may leave nothing to propose. */}
      <PreviewNote isOf={(edit) => edit.kind === 'several' && isOfLoads(edit.name)} />
      <TicketNotices {...context} />
    </>
  );
}

const TAKEN_OVER = 'Times from the log';

const isOfLoads = (name: string) => name.startsWith(TAKEN_OVER) || name.endsWith(EXCHANGED);

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

function placeOf(...names: readonly string[]): string {
  return names
    .filter((name) => name !== '')
    .map((name) => `, ${name}`)
    .join('');
}

/** `2026-09-28 17:10 to 17:26` */
function timesOf({ start_utc, end_utc }: LoadProposal): string {
  return `${start_utc.slice(0, 10)} ${start_utc.slice(11, 16)} to ${end_utc.slice(11, 16)}`;
}

/** Codes of notices that speak of a ticket and are not told in the table of loads. */
const TICKET_CODES = /^(?:ticket_|field_ticket_|implausible_bulk_density|.*_ticket)/;

function TicketNotices({ reply }: StepContext) {
  const told = reply.notices.filter(({ code }) => TICKET_CODES.test(code));
  if (told.length === 0) return null;
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
    </section>
  );
}
