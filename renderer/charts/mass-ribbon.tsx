/**
 * The mass ribbon: grain that passed the beam on the left, thinning to scale where some of it leaves the map by a reason,
 * ending in the calibrated total. Screened grain leaves the map, not the total.
 */
import './charts.css';
import { type KeyboardEvent, useRef } from 'react';
import { decimal, grainMass, withError } from '../text/quantities.ts';
import { type RibbonThread, ribbonThreads } from './ribbon-threads.ts';
import type { MassRibbonProps, MassThread } from './types.ts';
import { useSize } from './use-size.ts';

const SIZE = { height: 52, top: 3, thick: 22, drop: 9 };
/** Room for the figures at either end, px. */
const END_PX = 140;

export function MassRibbon(props: MassRibbonProps) {
  const {
    ledger,
    total_kg,
    total_plus_minus_kg,
    units,
    bushel_kg = Number.NaN,
    selected,
    onSelect,
    onHover,
  } = props;
  const place = useRef<HTMLDivElement>(null);
  const { width } = useSize(place);
  const { beam_kg, mapped_kg, threads } = ribbonThreads(ledger);
  const shown = (mass_kg: number | null) => grainMass(mass_kg, bushel_kg, units);
  const total = withError(shown(total_kg), shown(total_plus_minus_kg));
  const start = END_PX;
  const end = Math.max(width - END_PX, start + 40);
  const listeners = (thread: MassThread) => ({
    role: 'button',
    tabIndex: 0,
    'aria-pressed': selected === thread,
    onClick: () => onSelect?.(selected === thread ? null : thread),
    onPointerEnter: () => onHover?.(thread),
    onPointerLeave: () => onHover?.(null),
    onFocus: () => onHover?.(thread),
    onBlur: () => onHover?.(null),
    onKeyDown: (event: KeyboardEvent) => {
      if (event.key !== 'Enter' && event.key !== ' ') return;
      event.preventDefault();
      onSelect?.(selected === thread ? null : thread);
    },
  });
  const wordsOf = (name: string, mass_kg: number) =>
    `${name} ${decimal((100 * mass_kg) / beam_kg, 1)} %: ${shown(mass_kg).number} ${shown(mass_kg).unit}`;
  const slots = slotsOf(threads, start, end);
  return (
    <div ref={place} className="mass-ribbon" data-choosing={selected !== null && selected !== undefined}>
      {width > 0 && beam_kg > 0 && (
        // biome-ignore lint/a11y/useSemanticElements: a picture whose parts can be chosen
        <svg width={width} height={SIZE.height} role="group" aria-label="Where the grain went, to scale">
          <text x={END_PX - 10} y={SIZE.top + 10} textAnchor="end" className="quiet">
            past the beam
          </text>
          <text x={END_PX - 10} y={SIZE.top + 25} textAnchor="end" className="figure">
            {shown(beam_kg).number}
            <tspan className="unit"> {shown(beam_kg).unit}</tspan>
          </text>
          <g {...listeners('mapped')} className="thread mapped" aria-label={wordsOf('On the map', mapped_kg)}>
            <title>{wordsOf('On the map', mapped_kg)}</title>
            <path d={bodyPath(threads, beam_kg, start, end, slots)} />
          </g>
          {threads.map((thread, i) => {
            const { x, y, thick } = placeOf(threads, i, beam_kg, slots);
            const words = wordsOf(thread.words, thread.mass_kg);
            return (
              <g
                key={thread.thread}
                {...listeners(thread.thread)}
                className={`thread ${thread.kind} tone-${thread.tone}`}
                aria-label={words}
              >
                <title>{words}</title>
                <rect
                  x={x - 4}
                  y={y - 4}
                  width={slots.wide_px[i]}
                  height={SIZE.height - y}
                  className="reach"
                />
                <path d={threadPath(x, y, thick)} />
                <text x={x + 16} y={SIZE.height - (slots.lines === 2 ? 16 : 4)}>
                  {slots.lines > 0 && `${thread.words} `}
                  <tspan className="figure" {...(slots.lines === 2 ? { x: x + 16, y: SIZE.height - 4 } : {})}>
                    {decimal((100 * thread.mass_kg) / beam_kg, 1)} %
                  </tspan>
                </text>
              </g>
            );
          })}
          <text x={end + 10} y={SIZE.top + 10} className="quiet">
            {total_kg === null ? 'not calibrated' : 'total, ± 95 %'}
          </text>
          <text x={end + 10} y={SIZE.top + 25} className="figure">
            {total_kg === null ? shown(mapped_kg).number : total.number}
            <tspan className="unit"> {total.unit}</tspan>
          </text>
        </svg>
      )}
    </div>
  );
}

interface Slots {
  /** Lines of a label: words and figure on one, on two, or the figure alone. */
  readonly lines: 0 | 1 | 2;
  readonly left_px: readonly number[];
  readonly wide_px: readonly number[];
}

/** Advance of a character of a label, room for a figure, and room beside a label, px. */
const LABEL = { character: 5.5, figure: 38, beside: 24 };

/** Room along the ribbon for each thread's label, as its words need it. */
function slotsOf(threads: readonly RibbonThread[], start: number, end: number): Slots {
  const words = threads.map((thread) => thread.words.length * LABEL.character + LABEL.beside);
  const sum = (sizes: readonly number[]) => sizes.reduce((total, size) => total + size, 0);
  const one = words.map((size) => size + LABEL.figure);
  const lines = sum(one) <= end - start ? 1 : sum(words) <= end - start ? 2 : 0;
  const needed = lines === 1 ? one : lines === 2 ? words : threads.map(() => LABEL.figure);
  const wide_px = needed.map((size) => (size * (end - start)) / sum(needed));
  return { lines, wide_px, left_px: wide_px.map((_, i) => start + sum(wide_px.slice(0, i))) };
}

/** What is left of the ribbon after each thread has gone, upper edge straight, lower edge stepping up. */
function bodyPath(
  threads: readonly RibbonThread[],
  beam_kg: number,
  start: number,
  end: number,
  slots: Slots,
): string {
  let path = `M${start} ${SIZE.top}H${end}`;
  const edges: string[] = [];
  let y = SIZE.top + SIZE.thick;
  let from = start;
  threads.forEach((_, i) => {
    const at = placeOf(threads, i, beam_kg, slots);
    edges.push(`${from} ${y}L${at.x} ${y}`, `${at.x} ${at.y}`);
    y = at.y;
    from = at.x;
  });
  path += `V${y}L${[...edges, `${from} ${y}`].reverse().map(flipped).join('L')}z`;
  return path;
}

/** `a b` stays, `a bLc d` goes the other way round. */
function flipped(piece: string): string {
  return piece.split('L').reverse().join('L');
}

/** Where the i-th thread leaves, at which height, and how thick it is. */
function placeOf(threads: readonly RibbonThread[], i: number, beam_kg: number, slots: Slots) {
  const scale = SIZE.thick / beam_kg;
  const gone = threads.slice(0, i + 1).reduce((sum, { mass_kg }) => sum + mass_kg, 0);
  const x = slots.left_px[i] + 4;
  return { x, y: SIZE.top + SIZE.thick - gone * scale, thick: threads[i].mass_kg * scale };
}

/** A strand that bends down out of the ribbon; never thinner than can be seen. */
function threadPath(x: number, y: number, thick: number): string {
  const wide = Math.max(thick, 1);
  const bottom = SIZE.height - 8;
  const bend = SIZE.drop;
  return `M${x} ${y}c${bend * 0.6} 0 ${bend} ${bend * 0.4} ${bend} ${bend}V${bottom}h${-wide}V${y + bend + wide}c0 ${-bend * 0.6} ${-bend * 0.4 + wide * 0.4} ${-bend} ${-bend + wide} ${-bend}z`;
}
