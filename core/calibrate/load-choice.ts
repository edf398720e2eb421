/** What the user decided about loads in season.json, and decisions that fit no load. */
import type { Notice } from '../errors.ts';
import { nearestWord } from '../nearest-word.ts';
import { moreLike } from '../notice-limit.ts';
import type { SettingsSheet } from '../season.ts';
import { shownNames } from '../shown-text.ts';
import type { Load } from './load.ts';

type Choices = NonNullable<SettingsSheet['calibration']>;

/** The user's word on a load: of any of its tickets, or of the load's whole name. The last one counts. */
export function choiceFor(load: Load, { loads = [] }: Choices): boolean | undefined {
  const names = namesOf(load);
  return loads.findLast((choice) => names.includes(choice.ticket))?.use;
}

/** One notice a decision whose ticket belongs to no load: mistyped, it would change nothing without a word. */
export function choiceNotices(loads: readonly Load[], { loads: choices = [] }: Choices): Notice[] {
  const known = [...new Set(loads.flatMap(namesOf))];
  const names = new Set(known);
  const strange = choices.filter((choice) => !names.has(choice.ticket));
  const notices = strange.slice(0, MOST_TOLD).map(({ ticket, use }): Notice => {
    const near = nearestWord(ticket, known);
    const hint =
      near !== undefined
        ? `did you mean "${near}"?`
        : known.length === 0
          ? 'there is no load at all.'
          : `loads are ${shownNames(known)}.`;
    const text = `season.json says to ${use ? 'use' : 'set aside'} ticket "${ticket}", which belongs to no load; ${hint}`;
    return { ...KIND, count: 1, text };
  });
  const left = strange.length - notices.length;
  return left > 0 ? [...notices, moreLike(KIND, left)] : notices;
}

const KIND = { code: 'load_choice_unknown', severity: 'look', source: 'season.json' } as const;
/** Looking for the word that was meant takes time. */
const MOST_TOLD = 25;

const namesOf = (load: Load): string[] => [load.ticket, ...load.tickets.map(({ ticket }) => ticket)];
