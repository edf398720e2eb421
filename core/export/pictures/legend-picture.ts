/** Legends: what the colours of a map mean, and how the ground is spread over them. */
import { type Drawing, rectangle, type Shape } from '../document/drawing.ts';
import type { Classes } from '../report/colour-classes.ts';
import { classWords } from '../report/field-section.ts';
import { grouped, percent } from '../report/figures.ts';
import { LETTERS, PRINT } from './palette.ts';

const ROW = 12.2;

/** The legend is the histogram: a row a class, highest first, its bar the share of the ground. `shares` add up to 1. */
export function histogramPicture(classes: Classes, shares: readonly number[], width: number): Drawing {
  const most = Math.max(...shares, 1e-9);
  const label = 78;
  const share = 34;
  const free = width - label - share;
  const shapes = classes.colours.flatMap((colour, index): Shape[] => {
    const y = (classes.colours.length - 1 - index) * ROW;
    const base = y + ROW - 3.4;
    const text = { kind: 'text', y: base, size: LETTERS.usual + 0.5 } as const;
    return [
      { ...text, x: label - 8, text: classWords(classes, index), colour: PRINT.ink, anchor: 'end' },
      {
        kind: 'path',
        d: rectangle(label, y + 1, Math.max(1, (free * shares[index]) / most), ROW - 2),
        fill: colour,
      },
      { ...text, x: width, text: percent(shares[index]), colour: PRINT.quiet, anchor: 'end' },
    ];
  });
  return { width, height: classes.colours.length * ROW, shapes };
}

/** The same colours in one line, for several maps: limits stand between the patches. */
export function legendStrip({
  classes,
  unit,
  width,
}: {
  classes: Classes;
  unit: string;
  width: number;
}): Drawing {
  const { colours, limits, digits } = classes;
  const words = 46;
  const step = Math.min(48, (width - words) / colours.length);
  const text = { kind: 'text', size: LETTERS.usual, colour: PRINT.quiet } as const;
  return {
    width,
    height: 19,
    shapes: [
      ...colours.map(
        (colour, index): Shape => ({
          kind: 'path',
          d: rectangle(index * step, 0, step + 0.2, 8),
          fill: colour,
        }),
      ),
      ...limits.map(
        (limit, index): Shape => ({
          ...text,
          x: (index + 1) * step,
          y: 17,
          text: grouped(limit, digits),
          anchor: 'middle',
        }),
      ),
      { ...text, x: colours.length * step + 7, y: 7, text: unit, colour: PRINT.ink },
    ],
  };
}
