/** Words and lines of CSV [RFC 4180]. */

/** [RFC 4180 §2.1] */
export const CSV_LINE_END = '\r\n';

/** Spreadsheets take a text that begins so for a formula, and would run it [OWASP, CSV Injection]. */
export function harmless(text: string): string {
  return /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
}

/** In quotes where the text holds what would end a cell. */
export function quoted(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
