/** Pictures as plain shapes, which become SVG in a page, operators in a PDF and pixels in a PNG alike. */

/** Lengths are points of paper, 1/72 in; y runs down. */
export interface Drawing {
  readonly width: number;
  readonly height: number;
  readonly shapes: readonly Shape[];
}

export type Shape = PathShape | TextShape | ClippedShapes | MovedShapes;

/** Shapes of a picture within another one, its upper left corner at `x`, `y`. */
export interface MovedShapes {
  readonly kind: 'moved';
  readonly x: number;
  readonly y: number;
  readonly shapes: readonly Shape[];
}

/** Shapes of which only what lies inside a path is seen (even–odd rule). */
export interface ClippedShapes {
  readonly kind: 'clipped';
  /** SVG path data. */
  readonly within: string;
  readonly shapes: readonly Shape[];
}

export interface PathShape {
  readonly kind: 'path';
  /** SVG path data. */
  readonly d: string;
  readonly fill?: string;
  readonly stroke?: string;
  /** Of the stroke. */
  readonly width?: number;
  readonly dash?: readonly [number, number];
  readonly opacity?: number;
}

export interface TextShape {
  readonly kind: 'text';
  /** Of the baseline. */
  readonly x: number;
  readonly y: number;
  readonly text: string;
  readonly size: number;
  readonly colour: string;
  readonly anchor?: 'start' | 'middle' | 'end';
  readonly weight?: 'strong';
  /** A line around the letters, so that they stand out from what is below. */
  readonly halo?: string;
}

/** Path data of a rectangle. */
export function rectangle(x: number, y: number, width: number, height: number): string {
  return `M${point(x)} ${point(y)}h${point(width)}v${point(height)}h${point(-width)}z`;
}

/** A hundredth of a point is finer than any printer. */
export function point(length: number): string {
  const text = length.toFixed(2);
  return Number(text) === 0 ? '0' : text.replace(/\.?0+$/, '');
}
