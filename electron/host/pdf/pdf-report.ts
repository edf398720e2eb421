/** A report as a PDF: the blocks of its pages on sheets, with feet; tagged for reading programs, no clock in it. */

import { PT_PER_MM, type ReportDocument, TYPE_WIDTH } from '../../../core/export/document/document.ts';
import { PAGE_MARGIN_MM } from '../../../core/export/document/document-style.ts';
import { PRINT } from '../../../core/export/pictures/palette.ts';
import { PAPER_MM, type Paper } from '../../../core/export/sheets/sheet-page.ts';
import { type Piece, piecesOf } from './pdf-blocks.ts';
import { PdfCanvas } from './pdf-canvas.ts';
import { brokenLines, drawLines } from './pdf-lines.ts';
import { STYLES } from './pdf-styles.ts';

export interface WrittenPdf {
  readonly bytes: Uint8Array;
  /** Letters that the font does not have: a box stands in the place of each. */
  readonly missing: readonly string[];
}

/** The file: the same bytes for the same report, paper and program. */
export async function pdfReport(report: ReportDocument, paper: Paper): Promise<WrittenPdf> {
  const [width_mm, height_mm] = PAPER_MM[paper];
  const size = [width_mm * PT_PER_MM, height_mm * PT_PER_MM] as const;
  const canvas = new PdfCanvas({
    title: `${report.title}: ${report.kind.toLowerCase()}`,
    subject: report.beside.join(' '),
    creator: report.generated_by,
    dated_unix_s: report.dated_unix_s,
    size,
  });
  const sheets = new Sheets(canvas, size);
  for (const [k, blocks] of report.pages.entries()) {
    sheets.begin();
    if (k === 0) sheets.putHead(pageHead(canvas, report));
    sheets.put(blocks.flatMap((block) => piecesOf(canvas, block, TYPE_WIDTH)));
  }
  feet(canvas, report, size);
  return { bytes: await canvas.bytes(), missing: canvas.missing };
}

/** Puts pieces below each other, and begins another sheet where the next would not fit. */
class Sheets {
  readonly #canvas: PdfCanvas;
  readonly #left: number;
  readonly #top = PAGE_MARGIN_MM.top * PT_PER_MM;
  readonly #bottom: number;
  #y = 0;
  /** Nothing stands on the sheet but the head, perhaps. */
  #isTop = true;

  constructor(canvas: PdfCanvas, [width, height]: readonly [number, number]) {
    this.#canvas = canvas;
    this.#left = (width - TYPE_WIDTH) / 2;
    this.#bottom = height - PAGE_MARGIN_MM.bottom * PT_PER_MM;
  }

  begin(): void {
    this.#canvas.doc.addPage();
    this.#y = this.#top;
    this.#isTop = true;
  }

  putHead(head: Piece): void {
    this.#draw(head);
    this.#isTop = true;
  }

  put(pieces: readonly Piece[]): void {
    for (const [k, piece] of pieces.entries()) {
      if (!this.#isTop && this.#y + piece.above + heldHeight(pieces, k) > this.#bottom) {
        this.begin();
        if (piece.again) this.#draw(piece.again);
      }
      this.#draw(piece);
    }
  }

  #draw(piece: Piece): void {
    if (!this.#isTop) this.#y += piece.above;
    piece.draw(this.#left, this.#y, this.#isTop);
    this.#y += piece.height - (this.#isTop ? (piece.first_less ?? 0) : 0);
    this.#isTop = false;
  }
}

/** Of the piece, and of what has to follow it on its sheet. */
function heldHeight(pieces: readonly Piece[], from: number): number {
  let height = pieces[from].height;
  for (let k = from; pieces[k].keepsWithNext && k + 1 < pieces.length; k++)
    height += pieces[k + 1].above + pieces[k + 1].height;
  return height;
}

function pageHead(canvas: PdfCanvas, { kind, title, below, beside }: ReportDocument): Piece {
  const wide = Math.max(...beside.map((line) => canvas.widthOf(line, STYLES.beside)));
  const room = TYPE_WIDTH - wide - 18;
  const name = brokenLines(canvas, title, STYLES.title, room);
  const lines = below.map((line) => brokenLines(canvas, line, STYLES.below, room));
  const corner = beside.map((line) => brokenLines(canvas, line, STYLES.beside, wide + 1));
  const kindHeight = STYLES.kind.size * STYLES.kind.leading;
  const own = kindHeight + 1 + name.height + 3 + lines.reduce((sum, { height }) => sum + height, 0);
  const draw = (x: number, y: number) => {
    canvas.tagged('P', () =>
      drawLines(canvas, brokenLines(canvas, kind, STYLES.kind, room), { x, y, width: room }),
    );
    canvas.tagged('H1', () => drawLines(canvas, name, { x, y: y + kindHeight + 1, width: room }));
    let top = y + kindHeight + 1 + name.height + 3;
    for (const line of lines) {
      canvas.tagged('P', () => drawLines(canvas, line, { x, y: top, width: room }));
      top += line.height;
    }
    let corner_y = y + own - corner.reduce((sum, { height }) => sum + height, 0);
    for (const line of corner) {
      const place = { x: x + TYPE_WIDTH - wide - 1, y: corner_y, width: wide + 1, align: 'right' } as const;
      canvas.tagged('P', () => drawLines(canvas, line, place));
      corner_y += line.height;
    }
    canvas.artifact(() => canvas.line(x, y + own + 9, TYPE_WIDTH, PRINT.hair, 0.6));
  };
  return { height: own + 18, above: 0, draw };
}

/** `Home, My season: field report …` and `2 of 4` in the foot of every sheet. */
function feet(canvas: PdfCanvas, { foot }: ReportDocument, [width, height]: readonly [number, number]): void {
  const { start, count } = canvas.doc.bufferedPageRange();
  const left = (width - TYPE_WIDTH) / 2;
  const y = height - (PAGE_MARGIN_MM.bottom / 2) * PT_PER_MM;
  for (let page = start; page < start + count; page++) {
    canvas.doc.switchToPage(page);
    canvas.doc.markContent('Artifact', { type: 'Pagination', attached: ['Bottom'] });
    const number = `${page - start + 1} of ${count}`;
    const room = TYPE_WIDTH - canvas.widthOf(number, STYLES.foot) - 18;
    canvas.text(shortened(canvas, foot, room), left, y, STYLES.foot);
    canvas.text(number, left + TYPE_WIDTH - canvas.widthOf(number, STYLES.foot), y, STYLES.foot);
    canvas.doc.endMarkedContent();
  }
}

function shortened(canvas: PdfCanvas, text: string, room: number): string {
  let shown = text;
  while (shown.length > 1 && canvas.widthOf(shown, STYLES.foot) > room)
    shown = `${shown.slice(0, -2).trimEnd()}…`;
  return shown;
}
