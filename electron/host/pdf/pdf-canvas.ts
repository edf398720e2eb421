/** Sheets of a PDF to draw on: text in lines, pictures, and the structure that a reading program follows. */
import PDFDocument from 'pdfkit';
import type { Drawing, Shape, TextShape } from '../../../core/export/document/drawing.ts';
import { packEvenly } from './even-streams.ts';
import { type FontWeight, openedFont } from './font-files.ts';

/**
 * Features of the font that differ from its own choice. Alternates by context are most of the work of setting a line and change
 * nothing in these texts. The library hands this on as it is; its types know of lists only.
 */
const PLAIN = featuresOf({ calt: false });
const TABULAR = featuresOf({ calt: false, tnum: true });

function featuresOf(choices: Readonly<Record<string, boolean>>): PDFKit.Mixins.OpenTypeFeatures[] {
  return choices as unknown as PDFKit.Mixins.OpenTypeFeatures[];
}

export interface LetterStyle {
  readonly size: number;
  readonly colour: string;
  readonly strong?: boolean;
  /** Between letters, in points. */
  readonly spacing?: number;
  /** Figures of one width, so that numbers stand below each other. */
  readonly isTabular?: boolean;
}

/** Of an element of the structure: what the types of the library leave out is there too. */
export interface StructureOptions {
  readonly alt?: string;
  /** Read in the place of what is drawn. */
  readonly actual?: string;
  readonly scope?: 'Column' | 'Row';
  readonly bbox?: readonly [number, number, number, number];
}

export interface PdfAbout {
  readonly title: string;
  readonly subject: string;
  readonly creator: string;
  readonly dated_unix_s: number;
  /** Width and height, in points. */
  readonly size: readonly [number, number];
}

/** The library takes a font that is open already, which its types do not tell. */
function fontSource(weight: FontWeight): string {
  return openedFont(weight) as unknown as string;
}

/** Control characters, which no font draws, become spaces. */
function printable(text: string): string {
  return text.replaceAll(/\p{Cc}/gu, ' ');
}

/** A file as it is drawn, in points from the upper left corner; tagged, with no clock in it. */
export class PdfCanvas {
  readonly doc: PDFKit.PDFDocument;
  /** The whole document's element. */
  readonly root: PDFKit.PDFStructureElement;
  readonly #widths = new Map<string, number>();
  readonly #missing = new Set<string>();
  readonly #bytes: Promise<Uint8Array>;

  constructor({ title, subject, creator, dated_unix_s, size }: PdfAbout) {
    this.doc = new PDFDocument({
      size: [...size],
      margin: 0,
      pdfVersion: '1.7',
      tagged: true,
      lang: 'en',
      displayTitle: true,
      bufferPages: true,
      autoFirstPage: false,
      compress: false,
      font: fontSource('usual'),
      // a date of the data's own, lest the clock be in the file
      info: {
        Title: title,
        Subject: subject,
        Creator: creator,
        Producer: creator,
        CreationDate: new Date(Math.round(dated_unix_s) * 1000),
      },
    });
    packEvenly(this.doc);
    this.doc.registerFont('usual', fontSource('usual'));
    this.doc.registerFont('strong', fontSource('strong'));
    const pieces: Uint8Array[] = [];
    this.#bytes = new Promise((resolve, reject) => {
      this.doc.on('data', (piece: Uint8Array) => pieces.push(piece));
      this.doc.on('end', () => resolve(Buffer.concat(pieces)));
      this.doc.on('error', reject);
    });
    this.root = this.doc.struct('Document');
    this.doc.addStructure(this.root);
  }

  /** The finished file. */
  async bytes(): Promise<Uint8Array> {
    this.root.end();
    this.doc.end();
    return this.#bytes;
  }

  /** Draws what becomes one element of the structure, within `parent`. */
  tagged(
    type: string,
    draw: () => void,
    parent: PDFKit.PDFStructureElement = this.root,
    options: StructureOptions = {},
  ): void {
    const content = this.doc.markStructureContent(type);
    draw();
    this.doc.endMarkedContent();
    const element = this.doc.struct(type, options);
    parent.add(element);
    element.add(content);
    element.end();
  }

  /** An element that others are put into; `end` it when they are. */
  group(type: string, parent: PDFKit.PDFStructureElement = this.root): PDFKit.PDFStructureElement {
    const element = this.doc.struct(type);
    parent.add(element);
    return element;
  }

  /** Lines and feet that say nothing. */
  artifact(draw: () => void): void {
    this.doc.markContent('Artifact', { type: 'Layout' });
    draw();
    this.doc.endMarkedContent();
  }

  /** Letters that the font does not have: a box stands in the place of each. */
  get missing(): readonly string[] {
    return [...this.#missing];
  }

  widthOf(given: string, style: LetterStyle): number {
    const text = printable(given);
    const key = `${style.strong ? 'b' : 'r'}${style.isTabular ? 't' : ''}${style.size}|${style.spacing ?? 0}|${text}`;
    const known = this.#widths.get(key);
    if (known !== undefined) return known;
    this.#use(style);
    const width = this.doc.widthOfString(text, {
      features: style.isTabular ? TABULAR : PLAIN,
      characterSpacing: style.spacing ?? 0,
      lineBreak: false,
    });
    this.#widths.set(key, width);
    this.#look(text);
    return width;
  }

  /** One line with its baseline at `y`. */
  text(given: string, x: number, y: number, style: LetterStyle): void {
    const text = printable(given);
    if (text === '') return;
    this.#use(style);
    this.doc.fillColor(style.colour).text(text, x, y, {
      lineBreak: false,
      baseline: 'alphabetic',
      features: style.isTabular ? TABULAR : PLAIN,
      characterSpacing: style.spacing ?? 0,
    });
  }

  line(x: number, y: number, length: number, colour: string, width = 0.5): void {
    this.doc
      .moveTo(x, y)
      .lineTo(x + length, y)
      .lineWidth(width)
      .strokeColor(colour)
      .stroke();
  }

  patch(x: number, y: number, width: number, height: number, colour: string): void {
    this.doc.rect(x, y, width, height).fill(colour);
  }

  /** The picture with its upper left corner at `x`, `y`. */
  drawing({ shapes }: Pick<Drawing, 'shapes'>, x: number, y: number): void {
    this.doc.save().translate(x, y);
    for (const shape of shapes) this.#shape(shape);
    this.doc.restore();
  }

  #shape(shape: Shape): void {
    if (shape.kind === 'moved') {
      this.drawing(shape, shape.x, shape.y);
      return;
    }
    if (shape.kind === 'clipped') {
      this.doc.save().path(shape.within).clip('even-odd');
      for (const inner of shape.shapes) this.#shape(inner);
      this.doc.restore();
      return;
    }
    if (shape.kind === 'text') {
      this.#letters(shape);
      return;
    }
    const { d, fill, stroke, width, dash, opacity } = shape;
    const doc = this.doc.save();
    if (opacity !== undefined) doc.opacity(opacity);
    if (stroke !== undefined) {
      doc
        .lineJoin('round')
        .lineWidth(width ?? 1)
        .strokeColor(stroke);
      if (dash) doc.dash(dash[0], { space: dash[1] });
    }
    doc.path(d);
    if (fill !== undefined && stroke !== undefined) doc.fillAndStroke(fill, stroke);
    else if (fill !== undefined) doc.fill(fill);
    else doc.stroke();
    doc.restore();
  }

  #letters({ x, y, text, size, colour, anchor, weight, halo }: TextShape): void {
    const style = { size, colour, strong: weight === 'strong', isTabular: anchor === 'end' };
    const width = this.widthOf(text, style);
    const left = anchor === 'end' ? x - width : anchor === 'middle' ? x - width / 2 : x;
    if (halo !== undefined) {
      this.doc.save().opacity(0.7);
      this.patch(left - 1, y - 0.85 * size, width + 2, 1.1 * size, halo);
      this.doc.restore();
    }
    this.text(text, left, y, style);
  }

  #look(text: string): void {
    const font = openedFont('usual');
    for (const sign of text)
      if (!font.hasGlyphForCodePoint(sign.codePointAt(0) ?? 0)) this.#missing.add(sign);
  }

  #use({ size, strong }: LetterStyle): void {
    this.doc.font(strong ? 'strong' : 'usual').fontSize(size);
  }
}
