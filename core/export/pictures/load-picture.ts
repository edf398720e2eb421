/** Loads against the scale: a point a load, the line of agreement. */
import type { LoadSummary } from '../../result.ts';
import { KG_PER_LB } from '../../units.ts';
import { type Drawing, point, rectangle, type Shape } from '../document/drawing.ts';
import { roundStep } from '../report/colour-classes.ts';
import { grouped, scaleUnit, type UnitSystem } from '../report/figures.ts';
import { LETTERS, PRINT } from './palette.ts';

const EDGE = { left: 38, right: 16, top: 8, bottom: 28 };

/** Axes from zero to a round load above the largest. Nothing for loads that the beam did not see. */
export function loadPicture(
  loads: readonly LoadSummary[],
  system: UnitSystem,
  width: number,
  height: number,
): Drawing {
  const kg_per_unit = system === 'us' ? KG_PER_LB : 1;
  const shown = loads.flatMap(({ ticket, scale_kg, predicted_kg, used, flagged }) =>
    predicted_kg === null
      ? []
      : [{ ticket, used, flagged, scale: scale_kg / kg_per_unit, beam: predicted_kg / kg_per_unit }],
  );
  const most = Math.max(1, ...shown.flatMap(({ scale, beam }) => [scale, beam]));
  const step = roundStep(most / 4);
  const end = Math.ceil(most / step) * step;
  const x = (load: number) => EDGE.left + (load / end) * (width - EDGE.left - EDGE.right);
  const y = (load: number) => height - EDGE.bottom - (load / end) * (height - EDGE.bottom - EDGE.top);
  const ticks = Array.from({ length: Math.round(end / step) + 1 }, (_, k) => k * step);
  const letters = { kind: 'text', size: LETTERS.small, colour: PRINT.quiet } as const;
  return {
    width,
    height,
    shapes: [
      {
        kind: 'path',
        d: ticks
          .map((tick) => `M${point(EDGE.left)} ${point(y(tick))}H${point(width - EDGE.right)}`)
          .join(''),
        stroke: PRINT.hair,
        width: 0.5,
      },
      ...ticks.map(
        (tick): Shape => ({
          ...letters,
          x: EDGE.left - 5,
          y: y(tick) + 2.3,
          text: grouped(tick, 0),
          anchor: 'end',
        }),
      ),
      ...ticks.slice(1).map(
        (tick): Shape => ({
          ...letters,
          x: x(tick),
          y: height - EDGE.bottom + 10,
          text: grouped(tick, 0),
          anchor: 'middle',
        }),
      ),
      {
        kind: 'path',
        d: `M${point(x(0))} ${point(y(0))}L${point(x(end))} ${point(y(end))}`,
        stroke: PRINT.quiet,
        width: 0.6,
        dash: [3, 2],
      },
      {
        ...letters,
        x: width - EDGE.right,
        y: height - 7,
        text: `on the scale, ${scaleUnit(system)}`,
        anchor: 'end',
      },
      { ...letters, x: EDGE.left + 4, y: EDGE.top + 6, text: `by the beam, ${scaleUnit(system)}` },
      ...shown.flatMap(({ ticket, scale, beam, used, flagged }): Shape[] =>
        mark(x(scale), y(beam), ticket, used, flagged),
      ),
    ],
  };
}

function mark(x: number, y: number, ticket: string, used: boolean, flagged: boolean): Shape[] {
  if (flagged) {
    return [
      { kind: 'path', d: `M${point(x)} ${point(y - 4)}l3.9 6.6h-7.8z`, fill: PRINT.look },
      {
        kind: 'text',
        x: x - 6,
        y: y + 2.5,
        text: ticket,
        anchor: 'end',
        size: LETTERS.usual,
        colour: PRINT.look,
        halo: PRINT.paper,
      },
    ];
  }
  const d = `M${point(x - 2.3)} ${point(y)}a2.3 2.3 0 1 0 4.6 0a2.3 2.3 0 1 0-4.6 0z`;
  return [
    used
      ? { kind: 'path', d, fill: PRINT.accent }
      : { kind: 'path', d, stroke: PRINT.quiet, width: 0.9, fill: PRINT.paper },
  ];
}

/** Parts of one whole as a bar across `width`, from left to right; those of no length leave nothing. */
export function partsPicture(
  parts: readonly { readonly share: number; readonly colour: string }[],
  width: number,
): Drawing {
  let x = 0;
  const shapes = parts.flatMap(({ share, colour }): Shape[] => {
    const length = Math.max(0, share) * width;
    const from = x;
    x += length;
    return length > 0 ? [{ kind: 'path', d: rectangle(from, 0, length, 13), fill: colour }] : [];
  });
  return { width, height: 13, shapes };
}
