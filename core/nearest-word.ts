/** The known word that a mistyped one most likely stands for. */
import { distance } from 'fastest-levenshtein';

/**
 * The word of `known` with the fewest single-letter edits from `found` (case ignored; the first of equals), if those
 * are at most half the letters of the longer word; `undefined` when nothing is near [Levenshtein1966; the limit is ours].
 */
export function nearestWord(found: string, known: readonly string[]): string | undefined {
  let nearest: string | undefined;
  let fewest = Number.POSITIVE_INFINITY;
  for (const word of known) {
    const edits = distance(found.toLowerCase(), word.toLowerCase());
    if (edits < fewest && edits <= 0.5 * Math.max(found.length, word.length)) {
      nearest = word;
      fewest = edits;
    }
  }
  return nearest;
}
