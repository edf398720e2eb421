/** Text that is safe in XML 1.0, between tags and in attributes of double quotes. */

const ESCAPES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&apos;',
  // attributes lose them otherwise
  '\t': '&#9;',
  '\n': '&#10;',
  '\r': '&#13;',
};

/** Characters that XML 1.0 §2.2 has no way to write become U+FFFD. */
export function xmlText(text: string): string {
  return (
    text
      // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is replaced
      .replaceAll(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|\p{Surrogate}/gu, '\ufffd')
      .replaceAll(/[&<>"'\t\n\r]/g, (sign) => ESCAPES[sign])
  );
}

/** A comment; two hyphens, which would end it (§2.5), are set apart. */
export function xmlComment(text: string): string {
  const apart = text.replaceAll(/-(?=-)/g, '- ');
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is replaced
  return `<!-- ${apart.replaceAll(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|\p{Surrogate}/gu, '\ufffd')} -->`;
}

/** ` name="text"` of each; an attribute without a value is left out. */
export function xmlAttributes(values: Readonly<Record<string, string | number | undefined>>): string {
  return Object.entries(values)
    .map(([name, text]) => (text === undefined ? '' : ` ${name}="${xmlText(String(text))}"`))
    .join('');
}
