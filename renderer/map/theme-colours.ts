/** Colours of the theme for what is painted and not styled: canvas and WebGL. They come from the tokens' CSS variables. */
import type { Rgb } from './ramps.ts';

export interface ThemeColours {
  readonly paper: Rgb;
  readonly panel: Rgb;
  readonly raised: Rgb;
  readonly ink: Rgb;
  readonly quiet: Rgb;
  readonly hair: Rgb;
  readonly edge: Rgb;
  readonly accent: Rgb;
  readonly ghost: Rgb;
  readonly good: Rgb;
  readonly look: Rgb;
  readonly mend: Rgb;
}

const TOKENS = [
  'paper',
  'panel',
  'raised',
  'ink',
  'quiet',
  'hair',
  'edge',
  'accent',
  'ghost',
  'good',
  'look',
  'mend',
] as const satisfies readonly (keyof ThemeColours)[];

/** The tokens as they are for `element` now; a token that is not set is black. */
export function themeColours(element: Element): ThemeColours {
  const style = getComputedStyle(element);
  const pen = document.createElement('canvas').getContext('2d', { willReadFrequently: true });
  const entries = TOKENS.map((name) => [name, rgbOf(pen, style.getPropertyValue(`--${name}`).trim())]);
  return Object.fromEntries(entries) as Record<(typeof TOKENS)[number], Rgb>;
}

/** `rgb(…)` of a colour, with an opacity where wanted. */
export function cssColour(rgb: Rgb, opacity = 1): string {
  return `rgb(${rgb[0]} ${rgb[1]} ${rgb[2]} / ${opacity})`;
}

/** `share` of the way from one colour to another. */
export function mixed(from: Rgb, to: Rgb, share: number): Rgb {
  return [0, 1, 2].map((channel) =>
    Math.round(from[channel] + (to[channel] - from[channel]) * share),
  ) as unknown as Rgb;
}

/** Lets the browser read any way of writing a colour. */
function rgbOf(pen: CanvasRenderingContext2D | null, written: string): Rgb {
  if (!pen || written === '') return [0, 0, 0];
  pen.clearRect(0, 0, 1, 1);
  pen.fillStyle = '#000000';
  pen.fillStyle = written;
  pen.fillRect(0, 0, 1, 1);
  const [red, green, blue] = pen.getImageData(0, 0, 1, 1).data;
  return [red, green, blue];
}
