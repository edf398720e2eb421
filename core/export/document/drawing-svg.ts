/** Pictures as SVG. */
import { html, Markup } from '../report/markup.ts';
import {
  type ClippedShapes,
  type Drawing,
  type PathShape,
  point,
  type Shape,
  type TextShape,
} from './drawing.ts';

/** Faces in order of preference; a renderer that has fonts of its own is given theirs. */
const PAGE_FACES = 'system-ui,"Segoe UI",Roboto,"Helvetica Neue",Arial,sans-serif';

/** The picture as an element of a page; `about` is read out in its place. */
export function svgElement(drawing: Drawing, about: string): Markup {
  const { width, height } = drawing;
  return html`<svg viewBox="0 0 ${point(width)} ${point(height)}" role="img" aria-label="${about}" style="max-width:${point(width)}pt" font-family="${PAGE_FACES}"><title>${about}</title>${drawing.shapes.map(shapeElement)}</svg>`;
}

/** The picture as a file of its own, on white. */
export function svgFile(drawing: Drawing, faces: string): string {
  const { width, height } = drawing;
  const sheet = html`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${point(width)} ${point(height)}" width="${point(width)}" height="${point(height)}" font-family="${faces}"><path fill="#ffffff" d="M0 0h${point(width)}v${point(height)}H0z"/>${drawing.shapes.map(shapeElement)}</svg>`;
  return sheet.text;
}

function shapeElement(shape: Shape): Markup {
  if (shape.kind === 'clipped') return clippedElement(shape);
  if (shape.kind === 'moved') {
    const { x, y, shapes } = shape;
    return html`<g transform="translate(${point(x)} ${point(y)})">${shapes.map(shapeElement)}</g>`;
  }
  return shape.kind === 'path' ? pathElement(shape) : textElement(shape);
}

function clippedElement({ within, shapes }: ClippedShapes): Markup {
  const id = `inside-${pathNumber(within)}`;
  return html`<clipPath id="${id}"><path clip-rule="evenodd" d="${new Markup(within)}"/></clipPath><g clip-path="url(#${id})">${shapes.map(shapeElement)}</g>`;
}

/** A number for a path, the same whenever it is written: pictures of one page are told apart by it [FNV-1a, 32 bits]. */
function pathNumber(path: string): string {
  let sum = 0x811c9dc5;
  for (let k = 0; k < path.length; k++) sum = Math.imul(sum ^ path.charCodeAt(k), 0x01000193);
  return (sum >>> 0).toString(16);
}

function pathElement({ d, fill, stroke, width, dash, opacity }: PathShape): Markup {
  const line =
    stroke === undefined
      ? ''
      : html` stroke="${stroke}" stroke-width="${point(width ?? 1)}" stroke-linejoin="round"${dash ? html` stroke-dasharray="${dash.join(' ')}"` : ''}`;
  const faint = opacity === undefined ? '' : html` opacity="${opacity}"`;
  return html`<path fill="${fill ?? 'none'}"${line}${faint} d="${new Markup(d)}"/>`;
}

function textElement(text: TextShape): Markup {
  const { x, y, size, colour, anchor, weight, halo } = text;
  const place = html`x="${point(x)}" y="${point(y)}" font-size="${point(size)}"`;
  const set = html`${anchor && anchor !== 'start' ? html` text-anchor="${anchor}"` : ''}${weight ? html` font-weight="600"` : ''}`;
  const around = halo
    ? html` paint-order="stroke" stroke="${halo}" stroke-width="2" stroke-linejoin="round"`
    : '';
  return html`<text ${place}${set}${around} fill="${colour}">${text.text}</text>`;
}
