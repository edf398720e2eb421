/** Names in task data. */

/** Characters of a designator, for all of them [ISO 11783-10 annex D, from memory]. */
const MOST_CHARACTERS = 32;

/** A name on one line, cut where the standard has no room for it; references go by id, so that cut names may be the same. */
export function designator(name: string): string {
  const signs = [...name.replaceAll(/[\p{Cc}\p{Zl}\p{Zp}]+/gu, ' ').trim()];
  return signs.length > MOST_CHARACTERS ? `${signs.slice(0, MOST_CHARACTERS - 1).join('')}…` : signs.join('');
}
