/** Text broken into lines of a given width. */
import { runsOf, type Text } from '../../../core/export/document/document.ts';
import type { LetterStyle, PdfCanvas } from './pdf-canvas.ts';

export interface TextLines {
  readonly lines: readonly (readonly LineSegment[])[];
  readonly line_height: number;
  readonly height: number;
}

interface LineSegment {
  readonly text: string;
  readonly style: LetterStyle;
  readonly x: number;
  readonly width: number;
}

export interface LineStyle extends LetterStyle {
  /** Of the size. */
  readonly leading: number;
  readonly quiet: string;
}

/** Lines no wider than `width`; a word that is wider is broken within. */
export function brokenLines(canvas: PdfCanvas, text: Text, style: LineStyle, width: number): TextLines {
  const lines: LineSegment[][] = [[]];
  let x = 0;
  const put = (word: string, letters: LetterStyle, wide: number) => {
    const line = lines[lines.length - 1];
    const last = line.at(-1);
    if (last?.style === letters) {
      line[line.length - 1] = { ...last, text: last.text + word, width: last.width + wide };
    } else line.push({ text: word, style: letters, x, width: wide });
    x += wide;
  };
  for (const run of runsOf(text)) {
    const [words, letters] = styledRun(run, style);
    for (const word of words.split(/(?<= )/)) {
      const bare = word.trimEnd();
      if (x > 0 && x + canvas.widthOf(bare, letters) > width) {
        lines.push([]);
        x = 0;
      }
      for (const piece of pieces(canvas, word, letters, width)) {
        const wide = canvas.widthOf(piece, letters);
        if (x > 0 && x + canvas.widthOf(piece.trimEnd(), letters) > width + 0.01) {
          lines.push([]);
          x = 0;
        }
        put(piece, letters, wide);
      }
    }
  }
  const line_height = style.size * style.leading;
  return { lines, line_height, height: lines.length * line_height };
}

function styledRun(run: ReturnType<typeof runsOf>[number], style: LineStyle): readonly [string, LetterStyle] {
  if (typeof run === 'string') return [run, style];
  if ('strong' in run) return [run.strong, { ...style, strong: true }];
  return [run.quiet, { ...style, colour: style.quiet }];
}

/** The word, or where it is too wide for a line, parts of it that are not. */
function pieces(canvas: PdfCanvas, word: string, letters: LetterStyle, width: number): string[] {
  if (canvas.widthOf(word.trimEnd(), letters) <= width) return [word];
  const parts: string[] = [];
  let part = '';
  for (const sign of word) {
    if (part !== '' && canvas.widthOf(part + sign, letters) > width) {
      parts.push(part);
      part = '';
    }
    part += sign;
  }
  parts.push(part);
  return parts;
}

/** Draws the lines below `y`; `align` is about the line's own width. */
export function drawLines(
  canvas: PdfCanvas,
  { lines, line_height }: TextLines,
  place: { readonly x: number; readonly y: number; readonly width: number; readonly align?: 'right' },
): void {
  for (const [k, line] of lines.entries()) {
    const last = line.at(-1);
    if (last === undefined) continue;
    const length = last.x + canvas.widthOf(last.text.trimEnd(), last.style);
    const left = place.align === 'right' ? place.x + place.width - length : place.x;
    for (const { text, style, x } of line)
      canvas.text(text, left + x, baseline(place.y + k * line_height, line_height, style.size), style);
  }
}

/** Capitals stand in the middle of their line: they are 0.727 of the size high in this font. */
export function baseline(top: number, line_height: number, size: number): number {
  return top + line_height / 2 + 0.364 * size;
}
