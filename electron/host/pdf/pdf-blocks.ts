/** Blocks of a report, measured and drawn on sheets of a PDF. */
import {
  type Block,
  COLUMN_GAP,
  type ColumnsBlock,
  columnWidths,
  type FigureBlock,
  type HeadingBlock,
  type KeyFiguresBlock,
  type NotesBlock,
  SHORT_TABLE,
  STATE_SIGNS,
  type TableBlock,
} from '../../../core/export/document/document.ts';
import { PRINT } from '../../../core/export/pictures/palette.ts';
import type { LetterStyle, PdfCanvas } from './pdf-canvas.ts';
import { baseline, brokenLines, drawLines } from './pdf-lines.ts';
import { STATE_COLOURS, STYLES } from './pdf-styles.ts';
import { laidTable } from './pdf-table.ts';

/** A piece that stays on one sheet. */
export interface Piece {
  readonly height: number;
  /** So much less where it is the first on its sheet. */
  readonly first_less?: number;
  /** Room above it, where something stands above it. */
  readonly above: number;
  /** Never the last on its sheet. */
  readonly keepsWithNext?: true;
  readonly draw: (x: number, y: number, isFirst: boolean) => void;
  /** Drawn again on every sheet that later pieces of the same table go on to. */
  readonly again?: Piece;
}

/** The pieces of a block in their order. */
export function piecesOf(canvas: PdfCanvas, block: Block, width: number): Piece[] {
  switch (block.kind) {
    case 'heading':
      return [heading(canvas, block, width)];
    case 'paragraph': {
      const style = block.tone === 'quiet' ? STYLES.quiet : STYLES.text;
      const lines = brokenLines(canvas, block.text, style, width);
      const draw = (x: number, y: number) =>
        canvas.tagged('P', () => drawLines(canvas, lines, { x, y, width }));
      const keeps = block.keepsWithNext && { keepsWithNext: block.keepsWithNext };
      return [{ height: lines.height, above: 4, ...keeps, draw }];
    }
    case 'figure':
      return [figure(canvas, block, width)];
    case 'table':
      return table(canvas, block, width);
    case 'key_figures':
      return [keyFigures(canvas, block, width)];
    case 'notes':
      return notes(canvas, block, width);
    case 'columns':
      return [columns(canvas, block, width)];
  }
}

function heading(canvas: PdfCanvas, { level, look, text, aside }: HeadingBlock, width: number): Piece {
  const isLarge = level === 2 && look !== 'small';
  const style = isLarge ? STYLES.h2 : STYLES.h3;
  const lines = brokenLines(canvas, text, style, width);
  const last = lines.lines[lines.lines.length - 1];
  const end = last.reduce((sum, segment) => sum + segment.width, 0);
  const gap = isLarge ? 7 : 5;
  const beside = aside === undefined ? 0 : canvas.widthOf(aside, STYLES.aside);
  const isBeside = end + gap + beside <= width;
  const below =
    aside !== undefined && !isBeside ? brokenLines(canvas, aside, STYLES.aside, width) : undefined;
  const rule = isLarge ? 9 : 0;
  const draw = (x: number, y: number, isFirst: boolean) => {
    const top = isFirst ? y : y + rule;
    if (isLarge && !isFirst) canvas.artifact(() => canvas.line(x, y, width, PRINT.hair, 0.6));
    canvas.tagged(`H${level}`, () => {
      drawLines(canvas, lines, { x, y: top, width });
      if (aside === undefined) return;
      const line = top + lines.height - lines.line_height;
      // both stand on one baseline
      if (isBeside)
        canvas.text(aside, x + end + gap, baseline(line, lines.line_height, style.size), STYLES.aside);
      else if (below) drawLines(canvas, below, { x, y: top + lines.height, width });
    });
  };
  const height = rule + lines.height + (below?.height ?? 0) + (isLarge ? 4 : 1.5);
  return { height, first_less: rule, above: isLarge ? 13 : 9, keepsWithNext: true, draw };
}

function figure(
  canvas: PdfCanvas,
  { drawing, about, caption, keepsWithNext }: FigureBlock,
  width: number,
): Piece {
  const lines = caption === undefined ? undefined : brokenLines(canvas, caption, captionStyle, width);
  const draw = (x: number, y: number) => {
    const bbox = [x, y, x + drawing.width, y + drawing.height] as const;
    const options = { alt: about, bbox };
    canvas.tagged('Figure', () => canvas.drawing(drawing, x, y), canvas.root, options);
    if (lines)
      canvas.tagged('Caption', () => drawLines(canvas, lines, { x, y: y + drawing.height + 4, width }));
  };
  return {
    height: drawing.height + (lines === undefined ? 0 : 4 + lines.height) + 5,
    above: 5,
    ...(keepsWithNext && { keepsWithNext }),
    draw,
  };
}

const captionStyle = STYLES.caption;

/** Rows are pieces, the head comes again where they go on; head and first rows stay together, and so do the last two. */
function table(canvas: PdfCanvas, block: TableBlock, width: number): Piece[] {
  const { caption, head, rows } = laidTable(canvas, block, width);
  const element = canvas.group('Table');
  const pieces: Piece[] = [];
  if (caption !== undefined)
    pieces.push({
      height: caption.height + 2,
      above: 6,
      keepsWithNext: true,
      draw: (x, y) => canvas.tagged('Caption', () => drawLines(canvas, caption, { x, y, width }), element),
    });
  const top: Piece | undefined = head && {
    height: head.height,
    above: caption === undefined ? 2 : 0,
    keepsWithNext: true,
    draw: (x, y) => head.draw(x, y, element),
  };
  if (top) pieces.push(top);
  const isShort = rows.length <= SHORT_TABLE;
  const holds = (k: number) => k < rows.length - 1 && (isShort || k === 0 || k === rows.length - 2);
  for (const [k, row] of rows.entries()) {
    const isLast = k === rows.length - 1;
    pieces.push({
      height: row.height + (isLast ? 6 : 0),
      above: k === 0 && !top ? 2 : 0,
      ...(holds(k) ? { keepsWithNext: true } : {}),
      draw: (x, y) => {
        row.draw(x, y, element);
        if (isLast) element.end();
      },
      ...(k > 0 && top ? { again: top } : {}),
    });
  }
  if (rows.length === 0) element.end();
  return pieces;
}

const KEY_SHARES = [1.45, 1.15, 0.8, 0.8];
const KEY_GAP = 18;

function keyFigures(canvas: PdfCanvas, { figures }: KeyFiguresBlock, width: number): Piece {
  const shares = figures.map((_, k) => KEY_SHARES[k] ?? 1);
  const total = KEY_SHARES.reduce((sum, share) => sum + share, 0);
  const unit = (width - KEY_GAP * (KEY_SHARES.length - 1)) / total;
  const lefts = shares.map((_, k) =>
    shares.slice(0, k).reduce((sum, share) => sum + share * unit + KEY_GAP, 0),
  );
  const draw = (x: number, y: number) => {
    for (const [k, { name, figure: shown, margin, below }] of figures.entries()) {
      const left = x + lefts[k] + (k === 0 ? 0 : 10);
      if (k > 0)
        canvas.artifact(() =>
          canvas.doc
            .moveTo(x + lefts[k], y)
            .lineTo(x + lefts[k], y + 48)
            .lineWidth(0.6)
            .strokeColor(PRINT.hair)
            .stroke(),
        );
      canvas.tagged('P', () => {
        canvas.text(name, left, y + 8.5, STYLES.keyName);
        const base = y + 31;
        let at = left;
        const put = (text: string, style: LetterStyle) => {
          canvas.text(text, at, base, style);
          at += canvas.widthOf(text, style);
        };
        put(shown.number, k === 0 ? STYLES.keyMain : STYLES.key);
        put(`${margin === undefined ? '' : ` ${margin}`} ${shown.unit}`, STYLES.keyUnit);
        if (below !== undefined) canvas.text(below, left, y + 45, STYLES.keyName);
      });
    }
  };
  return { height: 59, above: 2, draw };
}

function notes(canvas: PdfCanvas, block: NotesBlock, width: number): Piece[] {
  const list = canvas.group('L');
  if (block.notes.length === 0) list.end();
  return block.notes.map(({ state, text }, k): Piece => {
    const indent = state === undefined ? 0 : 13;
    const lines = brokenLines(canvas, text, STYLES.text, width - indent);
    const isLast = k === block.notes.length - 1;
    const draw = (x: number, y: number) => {
      const item = canvas.group('LI', list);
      if (state !== undefined) {
        const mark = { size: 7, colour: STATE_COLOURS[state] };
        const { sign, words } = STATE_SIGNS[state];
        canvas.tagged('Lbl', () => canvas.text(sign, x, baseline(y, lines.line_height, 7), mark), item, {
          actual: words,
        });
      }
      canvas.tagged(
        'LBody',
        () => drawLines(canvas, lines, { x: x + indent, y, width: width - indent }),
        item,
      );
      item.end();
      if (isLast) list.end();
    };
    return { height: lines.height + (isLast ? 3 : 0), above: k === 0 ? 2 : 3, draw };
  });
}

/** All columns on one sheet, whatever is in them. */
function columns(canvas: PdfCanvas, block: ColumnsBlock, width: number): Piece {
  const widths = columnWidths(block, width);
  const stacks = block.columns.map(({ blocks }, k) =>
    blocks.flatMap((inner) => piecesOf(canvas, inner, widths[k])),
  );
  const height = Math.max(0, ...stacks.map(stackHeight));
  const draw = (x: number, y: number) => {
    let left = x;
    for (const [k, stack] of stacks.entries()) {
      drawStack(stack, left, y);
      left += widths[k] + COLUMN_GAP;
    }
  };
  return { height, above: 4, draw };
}

function stackHeight(stack: readonly Piece[]): number {
  return stack.reduce(
    (sum, { height, above, first_less = 0 }, k) => sum + height + (k === 0 ? -first_less : above),
    0,
  );
}

function drawStack(stack: readonly Piece[], x: number, y: number): void {
  let top = y;
  for (const [k, piece] of stack.entries()) {
    if (k > 0) top += piece.above;
    piece.draw(x, top, k === 0);
    top += piece.height - (k === 0 ? (piece.first_less ?? 0) : 0);
  }
}
