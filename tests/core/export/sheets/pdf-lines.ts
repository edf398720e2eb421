/**
 * Straight lines of a PDF's pages as its own drawing operators place them, in points of 1/72 in [ISO 32000-1, 8.3.2, 8.5]:
 * enough of the language for pages that a browser prints.
 */
import { inflateSync } from 'node:zlib';

export interface PdfLine {
  /** Stroke colour, 0..1 each. */
  readonly rgb: readonly [number, number, number];
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

type Matrix = readonly [number, number, number, number, number, number];

/** All lines that are stroked, of all pages. */
export function pdfLines(pdf: Uint8Array): PdfLine[] {
  return contentStreams(pdf).flatMap(linesOf);
}

/** Pages of the file. */
export function pdfPages(pdf: Uint8Array): number {
  return [
    ...Buffer.from(pdf)
      .toString('latin1')
      .matchAll(/\/Type\s*\/Page\b(?!s)/g),
  ].length;
}

function contentStreams(pdf: Uint8Array): string[] {
  const bytes = Buffer.from(pdf);
  const text = bytes.toString('latin1');
  const streams: string[] = [];
  for (const match of text.matchAll(/stream\r?\n/g)) {
    const start = match.index + match[0].length;
    if (text.slice(match.index - 3, match.index) === 'end') continue;
    const dictionary = text.slice(text.lastIndexOf('obj', match.index), match.index);
    if (!dictionary.includes('/FlateDecode') || /\/(Subtype|Length1|Type)\b/.test(dictionary)) continue;
    const unpacked = inflateSync(bytes.subarray(start, text.indexOf('endstream', start))).toString('latin1');
    if (/\bcm\b/.test(unpacked)) streams.push(unpacked);
  }
  return streams;
}

function linesOf(content: string): PdfLine[] {
  const found: PdfLine[] = [];
  const numbers: number[] = [];
  const stack: { matrix: Matrix; rgb: PdfLine['rgb'] }[] = [];
  let matrix: Matrix = [1, 0, 0, 1, 0, 0];
  let rgb: PdfLine['rgb'] = [0, 0, 0];
  let at: readonly [number, number] = [0, 0];
  let path: Omit<PdfLine, 'rgb'>[] = [];
  for (const word of content.split(/\s+/)) {
    const number = Number(word);
    if (word !== '' && Number.isFinite(number)) {
      numbers.push(number);
      continue;
    }
    const [a, b, c, d, e, f] = numbers.slice(-6);
    if (word === 'q') stack.push({ matrix, rgb });
    else if (word === 'Q') ({ matrix, rgb } = stack.pop() ?? { matrix, rgb });
    else if (word === 'cm') matrix = times([a, b, c, d, e, f], matrix);
    else if (word === 'RG') rgb = [a, b, c];
    else if (word === 'm') at = through(matrix, a, b);
    else if (word === 'l') {
      const [x1, y1] = through(matrix, a, b);
      path.push({ x0: at[0], y0: at[1], x1, y1 });
      at = [x1, y1];
    } else if (word === 'S') found.push(...path.map((line) => ({ rgb, ...line })));
    if (['S', 's', 'f', 'f*', 'n', 'B'].includes(word)) path = [];
    numbers.length = 0;
  }
  return found;
}

function times([a, b, c, d, e, f]: Matrix, [A, B, C, D, E, F]: Matrix): Matrix {
  return [a * A + b * C, a * B + b * D, c * A + d * C, c * B + d * D, e * A + f * C + E, e * B + f * D + F];
}

function through([a, b, c, d, e, f]: Matrix, x: number, y: number): [number, number] {
  return [a * x + c * y + e, b * x + d * y + f];
}
