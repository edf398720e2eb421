/** What stands in a file, as a sentence may quote it: short, on one line, and without signs that a screen would obey. */

/** Longer quotations are cut. */
const SHOWN_LENGTH = 60;
/** More names than these are only counted. */
const SHOWN_NAMES = 12;
const SHOWN_NAME_LENGTH = 40;

/**
 * Control characters and line ends (a terminal obeys them), marks that turn the direction of writing (they make a text look
 * like another), and halves of letters [Unicode Standard, general categories Cc, Zl, Zp, Cs; UAX #9 for the marks].
 */
const UNPRINTABLE = /[\p{Cc}\p{Zl}\p{Zp}\p{Cs}\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/gu;

/** At most `most` characters of `text`, an ellipsis where it was cut, a raised dot for each unprintable sign. */
export function shownText(text: string, most = SHOWN_LENGTH): string {
  const head = text.length > most ? `${text.slice(0, most)}…` : text;
  return head.replaceAll(UNPRINTABLE, '·');
}

/** Whether a text can be shown as it is. */
export function isPrintable(text: string): boolean {
  return text.search(UNPRINTABLE) < 0;
}

/** `"a", "b" and 7 more`: the first dozen names, each cut to what tells it apart. */
export function shownNames(names: readonly string[]): string {
  const quoted = names.slice(0, SHOWN_NAMES).map((name) => `"${shownText(name, SHOWN_NAME_LENGTH)}"`);
  const rest = names.length - quoted.length;
  return `${quoted.join(', ')}${rest > 0 ? ` and ${rest} more` : ''}`;
}
