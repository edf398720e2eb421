/** HTML and SVG text that cannot be broken by what comes from files: everything put into a template is escaped unless it is markup itself. */

/** Text that is safe to stand in a page as it is. */
export class Markup {
  readonly text: string;

  constructor(text: string) {
    this.text = text;
  }
}

/** What a template takes: text (escaped), numbers, markup, lists of them; `undefined` and `''` leave nothing. */
export type Hole = string | number | Markup | undefined | readonly Hole[];

/** Template tag for HTML and SVG. */
export function html(parts: TemplateStringsArray, ...holes: readonly Hole[]): Markup {
  let text = parts[0];
  for (const [index, hole] of holes.entries()) text += textOf(hole) + parts[index + 1];
  return new Markup(text);
}

/** Nothing. */
export const NOTHING = new Markup('');

function textOf(hole: Hole): string {
  if (hole === undefined) return '';
  if (hole instanceof Markup) return hole.text;
  if (typeof hole === 'string') return escaped(hole);
  if (typeof hole === 'number') return String(hole);
  return hole.map(textOf).join('');
}

/** Safe between tags and inside double-quoted attributes; control characters, which HTML forbids, become spaces. */
function escaped(text: string): string {
  return (
    text
      // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is replaced
      .replaceAll(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f]/g, ' ')
      .replaceAll('&', '&amp;')
      .replaceAll('<', '&lt;')
      .replaceAll('>', '&gt;')
      .replaceAll('"', '&quot;')
      .replaceAll("'", '&#39;')
  );
}
