/** Tickets that stand in two files: a scale that exports every evening writes those of the days before again. */
import type { Notice } from '../errors.ts';
import { shownText } from '../shown-text.ts';
import type { Ticket } from './ticket.ts';

export interface UniqueTickets {
  readonly tickets: readonly Ticket[];
  readonly notices: readonly Notice[];
}

/**
 * The tickets of all files in order, without those that stand in an earlier file with the very same content: used twice
 * they would be summed as one load. Within one file the reader has judged. One notice for each file that repeats some.
 */
export function withoutRepeatedTickets(files: readonly (readonly Ticket[])[]): UniqueTickets {
  const first = new Map<string, Ticket>();
  const notices: Notice[] = [];
  const tickets: Ticket[] = [];
  for (const file of files) {
    const again = file.filter((ticket) => first.has(contentKey(ticket)));
    for (const ticket of file) if (!first.has(contentKey(ticket))) tickets.push(ticket);
    if (again.length > 0) notices.push(repeatedNotice(again, first));
    for (const ticket of file) if (!first.has(contentKey(ticket))) first.set(contentKey(ticket), ticket);
  }
  return { tickets, notices };
}

function repeatedNotice(again: readonly Ticket[], first: ReadonlyMap<string, Ticket>): Notice {
  const [{ ticket, source, line }] = again;
  const earlier = first.get(contentKey(again[0])) as Ticket;
  const others = again.length > 1 ? ` and ${again.length - 1} more` : '';
  return {
    code: 'ticket_in_two_files',
    severity: 'info',
    source,
    line,
    count: again.length,
    text: `${source}, line ${line}: ticket ${shownText(ticket)}${others} stand${again.length > 1 ? '' : 's'} in ${earlier.source} as well and ${again.length > 1 ? 'are' : 'is'} counted once.`,
  };
}

/** All that a ticket says, but for where it stands. */
export function contentKey({ source: _, line: __, ...said }: Ticket): string {
  return JSON.stringify(said);
}
