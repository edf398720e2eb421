/** Texts of files on a terminal: what stands in a file must not move the cursor or ring the bell. */

/** `text` with control characters other than line ends shown as a replacement sign. */
export function printable(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
  return text.replaceAll(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f]/g, '\ufffd');
}
