/** Tables on sheets of a PDF: widths by what is in the columns, rows that go on over sheets with their heads again. */
import {
  type CellContent,
  STATE_SIGNS,
  type TableBlock,
  type TableCell,
  type TableRow,
} from '../../../core/export/document/document.ts';
import { PRINT } from '../../../core/export/pictures/palette.ts';
import type { PdfCanvas } from './pdf-canvas.ts';
import { baseline, brokenLines, drawLines, type LineStyle, type TextLines } from './pdf-lines.ts';
import { STATE_COLOURS, STYLES } from './pdf-styles.ts';

const PAD = { y: 2.1, x: 9 };
const MARK = 11;
const SWATCH = { size: 7, room: 12 };

/** A table measured for its width: a head, and rows that may be parted. */
export interface LaidTable {
  readonly caption: TextLines | undefined;
  readonly head: LaidRow | undefined;
  readonly rows: readonly LaidRow[];
  readonly width: number;
}

export interface LaidRow {
  readonly height: number;
  readonly draw: (x: number, y: number, table: PDFKit.PDFStructureElement) => void;
}

/** Measures the table for `width` points. */
export function laidTable(canvas: PdfCanvas, block: TableBlock, width: number): LaidTable {
  const widths = columnWidths(canvas, block, width);
  const lefts = widths.map((_, k) => widths.slice(0, k).reduce((sum, one) => sum + one + PAD.x, 0));
  const grid: Grid = { canvas, block, width, widths, lefts };
  const isHeaded = block.columns.some(({ head }) => head !== '');
  return {
    caption:
      block.caption === undefined ? undefined : brokenLines(canvas, block.caption, STYLES.caption, width),
    head: isHeaded ? headRow(grid) : undefined,
    rows: block.rows.map((row, k) => bodyRow(grid, row, isHeaded || k > 0)),
    width,
  };
}

interface Grid {
  readonly canvas: PdfCanvas;
  readonly block: TableBlock;
  readonly width: number;
  /** Of the columns, without the room between them. */
  readonly widths: readonly number[];
  readonly lefts: readonly number[];
}

function headRow({ canvas, block, widths, lefts }: Grid): LaidRow {
  const cells = block.columns.map(({ head }, k) => brokenLines(canvas, head, STYLES.cellHead, widths[k]));
  const height = Math.max(...cells.map((cell) => cell.height)) + 2 * PAD.y;
  return {
    height,
    draw: (x, y, table) => {
      const line = canvas.group('TR', table);
      for (const [k, cell] of cells.entries()) {
        const { holds } = block.columns[k];
        // heads of several lines end where the numbers begin
        const top = y + height - PAD.y - cell.height;
        const place = { x: x + lefts[k], y: top, width: widths[k], ...(holds === 'number' ? RIGHT : {}) };
        canvas.tagged('TH', () => drawLines(canvas, cell, place), line, { scope: 'Column' });
      }
      line.end();
    },
  };
}

const RIGHT = { align: 'right' } as const;

function bodyRow(grid: Grid, row: TableRow, isRuled: boolean): LaidRow {
  const { canvas, block, widths, lefts, width } = grid;
  const style = cellStyle(row);
  const cells = row.cells.map((cell, k) =>
    laidCell(canvas, contentOf(cell), styleIn(block.columns[k], style), widths[k]),
  );
  const sentence =
    row.below === undefined ? undefined : brokenLines(canvas, row.below, STYLES.cellQuiet, width);
  const own = Math.max(...cells.map((cell) => cell.height)) + 2 * PAD.y;
  return {
    height: own + (sentence === undefined ? 0 : sentence.height + PAD.y),
    draw: (x, y, table) => {
      if (isRuled) canvas.artifact(() => canvas.line(x, y, width, PRINT.hair));
      const line = canvas.group('TR', table);
      for (const [k, cell] of cells.entries()) {
        const isRight = block.columns[k]?.holds === 'number';
        canvas.tagged(
          k === 0 ? 'TH' : 'TD',
          () => cell.draw(x + lefts[k], y + PAD.y, isRight),
          line,
          k === 0 ? { scope: 'Row' } : {},
        );
      }
      if (sentence !== undefined)
        canvas.tagged('TD', () => drawLines(canvas, sentence, { x, y: y + own, width }), line);
      line.end();
    },
  };
}

interface LaidCell {
  readonly height: number;
  readonly draw: (x: number, y: number, isRight: boolean) => void;
}

function laidCell(canvas: PdfCanvas, cell: CellContent, style: LineStyle, width: number): LaidCell {
  const { text, state, swatch, quiet, strong } = cell;
  const indent = (state === undefined ? 0 : MARK) + (swatch === undefined ? 0 : SWATCH.room);
  const letters = strong ? { ...style, strong: true } : style;
  const lines = brokenLines(canvas, text, letters, width - indent);
  const code = quiet === undefined ? undefined : brokenLines(canvas, quiet, STYLES.code, width - indent);
  const isAlone = text === '' && code !== undefined;
  return {
    height: isAlone ? code.height : lines.height + (code?.height ?? 0),
    draw: (x, y, isRight) => {
      if (state !== undefined) {
        const mark = { size: 7, colour: STATE_COLOURS[state] };
        canvas.text(STATE_SIGNS[state].sign, x, baseline(y, lines.line_height, mark.size), mark);
      }
      if (swatch !== undefined)
        canvas.patch(x, y + (lines.line_height - SWATCH.size) / 2, SWATCH.size, SWATCH.size, swatch);
      const place = { x: x + indent, width: width - indent, ...(isRight ? RIGHT : {}) };
      if (!isAlone) drawLines(canvas, lines, { ...place, y });
      if (code !== undefined) drawLines(canvas, code, { ...place, y: isAlone ? y + 0.8 : y + lines.height });
    },
  };
}

/** Numbers below each other have figures of one width. */
function styleIn(column: TableBlock['columns'][number] | undefined, style: LineStyle): LineStyle {
  return column?.holds === 'number' ? { ...style, isTabular: true } : style;
}

function contentOf(cell: TableCell): CellContent {
  return typeof cell === 'string' ? { text: cell } : cell;
}

function cellStyle({ tone }: TableRow): LineStyle {
  if (tone === 'total') return { ...STYLES.cell, strong: true };
  return tone === 'aside' ? { ...STYLES.cell, colour: PRINT.quiet } : STYLES.cell;
}

/** The least width in which a head takes two lines at most. */
function twoLines(canvas: PdfCanvas, head: string): number {
  const words = head.split(' ');
  const wide = (from: number, to: number) => canvas.widthOf(words.slice(from, to).join(' '), STYLES.cellHead);
  return Math.min(...words.map((_, k) => Math.max(wide(0, k + 1), wide(k + 1, words.length))));
}

/** As wide as what is in them where there is room for all, what is left shared out alike; else words are broken. */
function columnWidths(canvas: PdfCanvas, { columns, rows }: TableBlock, width: number): number[] {
  const wants = columns.map(({ head, holds }, k) => {
    const headLeast = twoLines(canvas, head);
    let natural = headLeast;
    let least = headLeast;
    for (const row of rows) {
      const cell = contentOf(row.cells[k] ?? '');
      const style = { ...styleIn(columns[k], cellStyle(row)), ...(cell.strong ? { strong: true } : {}) };
      const indent = (cell.state === undefined ? 0 : MARK) + (cell.swatch === undefined ? 0 : SWATCH.room);
      const code = cell.quiet === undefined ? 0 : canvas.widthOf(cell.quiet, STYLES.code);
      const whole = indent + Math.max(canvas.widthOf(cell.text, style), code);
      const words = cell.text.split(' ').map((word) => canvas.widthOf(word, style));
      natural = Math.max(natural, whole);
      least = Math.max(least, holds === 'number' ? whole : indent + Math.max(...words, Math.min(code, 90)));
    }
    return { natural: natural + 0.1, least: least + 0.1 };
  });
  const free = width - PAD.x * (columns.length - 1);
  const natural = wants.reduce((sum, want) => sum + want.natural, 0);
  if (natural <= free) {
    const more = (free - natural) / natural;
    return wants.map((want) => want.natural * (1 + more));
  }
  const least = wants.reduce((sum, want) => sum + want.least, 0);
  if (least >= free) return wants.map((want) => (want.least * free) / least);
  const share = (free - least) / (natural - least);
  return wants.map((want) => want.least + (want.natural - want.least) * share);
}
