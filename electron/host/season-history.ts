/** The documents that a season has been through since it was opened, for undo and redo: numbered states, one current. */
import type { History } from '../../core/host-contract.ts';
import type { Season } from '../../core/season.ts';

export interface SeasonState {
  readonly season: Season;
  /** What was done to reach it. */
  readonly name: string;
  readonly utc: string;
}

/** Never changed: each step gives a new one. Documents share what an edit did not touch. */
export interface SeasonHistory {
  readonly states: readonly SeasonState[];
  readonly at: number;
}

/** A day's work; older states are forgotten one by one. A choice of ours. */
const MOST_STATES = 500;

export function historyFrom(state: SeasonState): SeasonHistory {
  return { states: [state], at: 0 };
}

/** A new state after the current one; those that could have been redone are gone. */
export function withState(history: SeasonHistory, state: SeasonState): SeasonHistory {
  const states = [...history.states.slice(0, history.at + 1), state].slice(-MOST_STATES);
  return { states, at: states.length - 1 };
}

/** One step back or forth; `undefined` at the end. */
export function stepped(history: SeasonHistory, step: -1 | 1): SeasonHistory | undefined {
  const at = history.at + step;
  return at >= 0 && at < history.states.length ? { ...history, at } : undefined;
}

export function currentOf(history: SeasonHistory): SeasonState {
  return history.states[history.at];
}

export function namesOf(history: SeasonHistory): History {
  return { entries: history.states.map(({ name, utc }) => ({ name, utc })), at: history.at };
}
