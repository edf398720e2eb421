/** What kind of input a file is, from its name and its beginning, with the reason for the guess. */
import { binaryKind } from './file-signature.ts';
import { hasWeight, ticketColumns } from './ticket-columns.ts';

export type FileKind = 'tick_log' | 'nmea' | 'tally_log' | 'tickets' | 'boundary' | 'delimited' | 'unknown';

export interface Recognition {
  readonly kind: FileKind;
  /** One sentence: why. */
  readonly reason: string;
}

/** Recommended length of `head`, bytes. */
export const HEAD_LENGTH = 65_536;
/** So much of the lines must be of one form before a file is taken for a log. A choice of ours. */
const MAJORITY = 0.5;
/** Lines that are looked at. */
const SAMPLE_LINES = 400;

const TICK_LINE = /^\d{1,16}\s*,\s*(?:[01]|\$[A-Z]+,.*|M,[-+\d.]+|H,[01]|T,[-+\d.]+,[-+\d.]+)$/;
const NMEA_LINE = /^\$[A-Z]{4,},.*\*[0-9A-Fa-f]{2}$/;

/** `head` is the beginning of the (unpacked) file, up to some 64 KiB; the name only settles what the bytes leave open. */
export function recogniseFile(name: string, head: Uint8Array): Recognition {
  if (head.length === 0) return { kind: 'unknown', reason: `${name} is empty.` };
  const binary = binaryKind(head.subarray(0, 4096));
  if (binary) return { kind: 'unknown', reason: `${name} looks like ${binary}.` };
  const text = textFromBytes(head);
  if (/^\s*[{[]/.test(text)) return recogniseJson(name, text);
  const lines = sampleLines(text, head.length);
  if (lines.length === 0) return { kind: 'unknown', reason: `${name} holds no line of data.` };
  const ticked = lines.filter((line) => TICK_LINE.test(line)).length;
  const bare = lines.filter((line) => NMEA_LINE.test(line)).length;
  if (ticked >= MAJORITY * lines.length) {
    return {
      kind: 'tick_log',
      reason: `${ticked} of the first ${lines.length} lines are a counter and what it stamps.`,
    };
  }
  if (bare >= MAJORITY * lines.length) {
    return { kind: 'nmea', reason: `${bare} of the first ${lines.length} lines are NMEA sentences.` };
  }
  return recogniseTable(name, lines);
}

function recogniseJson(name: string, text: string): Recognition {
  if (/"(?:FeatureCollection|Feature|Polygon|MultiPolygon|GeometryCollection)"/.test(text)) {
    return { kind: 'boundary', reason: `${name} is GeoJSON.` };
  }
  return {
    kind: 'unknown',
    reason: `${name} is JSON, but its beginning names no feature or polygon of GeoJSON.`,
  };
}

function recogniseTable(name: string, lines: readonly string[]): Recognition {
  const delimiter = [',', ';', '\t', '|'].find((sign) => lines[0].includes(sign));
  if (delimiter === undefined) {
    return { kind: 'unknown', reason: `${name} is text, but neither a log nor a table with columns.` };
  }
  const header = lines[0].split(delimiter).map((cell) => cell.trim().replace(/^"(.*)"$/, '$1'));
  const plain = header.map((cell) => cell.toLowerCase());
  if (['time', 'paddles', 'dark_ms'].every((column) => plain.includes(column))) {
    return { kind: 'tally_log', reason: 'Its columns are time, paddles and dark_ms.' };
  }
  if (hasWeight(ticketColumns(header))) {
    return { kind: 'tickets', reason: 'Its columns hold net, or gross and tare, weights.' };
  }
  const like = lines.filter((line) => line.split(delimiter).length === header.length).length;
  if (like >= MAJORITY * lines.length) {
    return {
      kind: 'delimited',
      reason: `It is a table of ${header.length} columns that need a column mapping.`,
    };
  }
  return { kind: 'unknown', reason: `${name} is text whose lines differ in their columns.` };
}

/** Lines with content, but for comments and the last one, which the head may cut. */
function sampleLines(text: string, length: number): string[] {
  const lines = text.split(/\r\n|\n|\r/);
  if (length >= HEAD_LENGTH && lines.length > 1) lines.pop();
  return lines
    .map((line) => line.trim())
    .filter((line) => line !== '' && !line.startsWith('#'))
    .slice(0, SAMPLE_LINES);
}

/** One character a byte: enough to see the form; a byte-order mark and NULs are left out. */
function textFromBytes(head: Uint8Array): string {
  const marked = head[0] === 0xef && head[1] === 0xbb && head[2] === 0xbf;
  const parts: string[] = [];
  for (let at = marked ? 3 : 0; at < head.length; at += 4096) {
    parts.push(String.fromCharCode(...head.subarray(at, at + 4096)));
  }
  return parts.join('').replaceAll('\u0000', '');
}
