/** The known word that a mistyped one most likely stands for. */
import { distance } from 'fastest-levenshtein';

/** Letters that someone may have mistyped; comparing takes their number squared. A choice of ours. */
const LONGEST_WORD = 200;

/**
 * The word of `known` with the fewest single-letter edits from `found` (case ignored; the first of equals), if those
 * are at most half the letters of the longer word; `undefined` when nothing is near [Levenshtein1966; the limit is ours], or when
 * `found` is too long to be a mistyped word.
 */
export function nearestWord(found: string, known: readonly string[]): string | undefined {
  if (found.length > LONGEST_WORD) return undefined;
  let nearest: string | undefined;
  let fewest = Number.POSITIVE_INFINITY;
  for (const word of known) {
    if (word.length > 2 * LONGEST_WORD) continue;
    const edits = distance(found.toLowerCase(), word.toLowerCase());
    if (edits < fewest && edits <= 0.5 * Math.max(found.length, word.length)) {
      nearest = word;
      fewest = edits;
    }
  }
  return nearest;
}
