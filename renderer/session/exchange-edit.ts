/** Two tickets that were exchanged, exchanged back. */
import type { SeasonEdit } from '../../core/edits/season-edit.ts';
import { isoFromUnix } from '../../core/iso-time.ts';
import type { LoadSpan } from '../../core/result.ts';
import { ticketsOf } from './load-tickets.ts';

/** How the name of such a change ends. */
export const EXCHANGED = ' exchanged';

/** Each of two loads at the other's times; null where those of one are not known. */
export function exchangeEdit(
  loads: readonly [string, string],
  spans: readonly LoadSpan[],
  epoch_utc_s: number,
): SeasonEdit | null {
  const [first, second] = loads.map((load) => spans.find(({ ticket }) => ticket === load));
  if (first === undefined || second === undefined) return null;
  const utc = (t_s: number) => isoFromUnix(Math.round(epoch_utc_s + t_s)) ?? '';
  const placed = (load: string, at: LoadSpan) => ({
    kind: 'set_load_span' as const,
    tickets: ticketsOf(load),
    span: { start_utc: utc(at.start_s), end_utc: utc(at.end_s) },
  });
  return {
    kind: 'several',
    name: `Tickets ${loads.join(' and ')}${EXCHANGED}`,
    edits: [placed(loads[0], second), placed(loads[1], first)],
  };
}
