/**
 * A report as blocks on pages, without a look: what it says, in which order, with which pictures. Written as HTML by
 * `document-html.ts` and as PDF by the host, so that both say the same.
 */
import type { Figure } from '../report/figures.ts';
import type { Drawing } from './drawing.ts';

/** Points of paper in a millimetre. */
export const PT_PER_MM = 72 / 25.4;

/** Width of the type area on either paper, in points: pictures are drawn for it. */
export const TYPE_WIDTH = 516;

export interface ReportDocument {
  /** What kind of report it is: `Field report`. */
  readonly kind: string;
  readonly title: string;
  /** Lines below the title. */
  readonly below: readonly string[];
  /** In the corner beside the title. */
  readonly beside: readonly string[];
  /** In the foot of every page, beside its number. */
  readonly foot: string;
  readonly generated_by: string;
  /** The moment that a file's own date is made of, from the data: seconds since 1970. */
  readonly dated_unix_s: number;
  /** Each begins on a new sheet, and goes on to more where it does not fit. */
  readonly pages: readonly (readonly Block[])[];
}

/** Text with parts that stand out (`strong`) or back (`quiet`). */
export type Text = string | readonly TextRun[];

export type TextRun = string | { readonly strong: string } | { readonly quiet: string };

/** States differ in shape as well as in hue. */
export type State = 'good' | 'look' | 'mend' | 'aside';

/** What a state is drawn as, and the words that are read out in its place. */
export const STATE_SIGNS: Readonly<Record<State, { readonly sign: string; readonly words: string }>> = {
  good: { sign: '●', words: 'good' },
  look: { sign: '▲', words: 'look at this' },
  mend: { sign: '■', words: 'put this right' },
  aside: { sign: '○', words: 'set aside' },
};

export type Block =
  | HeadingBlock
  | ParagraphBlock
  | FigureBlock
  | TableBlock
  | KeyFiguresBlock
  | NotesBlock
  | ColumnsBlock;

/** Level 2 parts a page; 3 is within it. Never last on a sheet. `small`: of level 2, but no larger than one of level 3. */
export interface HeadingBlock {
  readonly kind: 'heading';
  readonly level: 2 | 3;
  readonly look?: 'small';
  readonly text: string;
  readonly aside?: string;
}

export interface ParagraphBlock {
  readonly kind: 'paragraph';
  readonly text: Text;
  readonly tone?: 'quiet';
  /** Never the last on its sheet. */
  readonly keepsWithNext?: true;
}

export interface FigureBlock {
  readonly kind: 'figure';
  readonly drawing: Drawing;
  /** Says in words what the picture shows. */
  readonly about: string;
  readonly caption?: Text;
  /** Never the last on its sheet. */
  readonly keepsWithNext?: true;
}

/** Tables of no more rows than these stay whole. */
export const SHORT_TABLE = 12;

export interface TableBlock {
  readonly kind: 'table';
  readonly caption?: string;
  readonly columns: readonly TableColumn[];
  readonly rows: readonly TableRow[];
}

export interface TableColumn {
  /** '' for none; a table whose heads are all '' has no head row. */
  readonly head: string;
  /** `number`: to the right, never broken; `words`: to the left, broken where it must be. */
  readonly holds: 'number' | 'words';
}

/** The first cell is the row's own head. */
export interface TableRow {
  readonly cells: readonly TableCell[];
  readonly tone?: 'total' | 'aside';
  /** A sentence below the row, across the table. */
  readonly below?: string;
}

export type TableCell = string | CellContent;

export interface CellContent {
  readonly text: string;
  readonly state?: State;
  /** After the text, standing back. */
  readonly quiet?: string;
  /** A patch of this colour before the text. */
  readonly swatch?: string;
  readonly strong?: true;
}

/** Large figures side by side, the first the largest. */
export interface KeyFiguresBlock {
  readonly kind: 'key_figures';
  readonly figures: readonly KeyFigure[];
}

export interface KeyFigure {
  readonly name: string;
  readonly figure: Figure;
  /** `± 48 bu`. */
  readonly margin?: string;
  readonly below?: string;
}

/** A list, with a sign of its state before each. */
export interface NotesBlock {
  readonly kind: 'notes';
  readonly notes: readonly { readonly state?: State; readonly text: Text }[];
}

/** Side by side; together on one sheet. */
export interface ColumnsBlock {
  readonly kind: 'columns';
  readonly columns: readonly { readonly share: number; readonly blocks: readonly Block[] }[];
}

/** Space between columns, in points. */
export const COLUMN_GAP = 22;

/** Width of each of `columns` within `width`. */
export function columnWidths({ columns }: ColumnsBlock, width: number): number[] {
  const total = columns.reduce((sum, { share }) => sum + share, 0);
  const free = width - COLUMN_GAP * (columns.length - 1);
  return columns.map(({ share }) => (free * share) / total);
}

/** The parts of a text. */
export function runsOf(text: Text): readonly TextRun[] {
  return typeof text === 'string' ? [text] : text;
}
