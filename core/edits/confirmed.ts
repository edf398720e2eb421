/** What somebody has set is no guess of an import any more. */
import { isJsonObject, type JsonObject } from './merge-patch.ts';

/** Machines and fields carry the keys that an import guessed, e.g. `header.width_m`, until somebody confirms them. */
interface Guessed {
  readonly unconfirmed?: readonly string[];
}

/**
 * `sheet`, which `change` has been laid over, without the guesses that the change sets, be it to the same number. A change
 * that speaks of `unconfirmed` itself is taken at its word.
 */
export function withoutConfirmed<T extends Guessed>(sheet: T, change: JsonObject): T {
  const { unconfirmed } = sheet;
  if (unconfirmed === undefined || 'unconfirmed' in change) return sheet;
  const left = unconfirmed.filter((key) => !isSet(change, key.split('.')));
  if (left.length === unconfirmed.length) return sheet;
  const { unconfirmed: _, ...rest } = sheet;
  return (left.length > 0 ? { ...rest, unconfirmed: left } : rest) as T;
}

function isSet(change: JsonObject, [step, ...further]: readonly string[]): boolean {
  if (!(step in change)) return false;
  const held = change[step];
  return further.length === 0 || !isJsonObject(held) || isSet(held, further);
}
