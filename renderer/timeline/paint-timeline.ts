/** Paints the tracks of the timeline on a canvas. */

import type { Rgb } from '../map/ramps.ts';
import { cssColour, type ThemeColours } from '../map/theme-colours.ts';
import { type AxisTick, placeOfTime, timeAtPlace } from './time-axis.ts';
import { firstAtOrAfter, type Trace, type Traces, type TrackTraces } from './traces.ts';

/** The part of the axis that is shown. */
export interface AxisView {
  readonly u0: number;
  readonly u1: number;
}

export interface Strip {
  readonly top: number;
  readonly height: number;
}

/** Where everything stands, CSS pixels from the canvas's corner. */
export interface TimelineLayout {
  readonly width: number;
  readonly height: number;
  readonly cutting: Strip;
  readonly tracks: readonly Strip[];
  readonly axis: Strip;
}

/** Rows of a pass further apart than this are not joined by a line, s. */
const JOINED_S = 6;

export interface Painting {
  readonly traces: Traces;
  readonly layout: TimelineLayout;
  readonly view: AxisView;
  readonly ticks: readonly AxisTick[];
  readonly colours: ThemeColours;
  /** From `selectedStretches`. */
  readonly selected: Float64Array;
}

export function paintTimeline(pen: CanvasRenderingContext2D, painting: Painting): void {
  const { traces, layout, view, ticks, colours } = painting;
  pen.clearRect(0, 0, layout.width, layout.height);
  const edges = columnEdges(traces, layout.width, view);
  paintGrid(pen, painting, edges);
  traces.machines.forEach((rows, place) => {
    const each = layout.cutting.height / traces.machines.length;
    pen.fillStyle = cssColour(machineColour(colours, place));
    const top = layout.cutting.top + place * each;
    const bounds = boundsOf(rows.t_s, edges);
    for (let x = 0; x < layout.width; x++) {
      const { mean, count } = rows.cutting.over(bounds[x], bounds[x + 1]);
      if (count === 0 || mean === 0) continue;
      pen.globalAlpha = 0.25 + 0.6 * mean;
      pen.fillRect(x, top, 1, Math.max(each - 1, 1));
    }
    pen.globalAlpha = 1;
  });
  traces.tracks.forEach((track, i) => {
    const strip = layout.tracks[i];
    pen.save();
    pen.beginPath();
    pen.rect(0, strip.top, layout.width, strip.height);
    pen.clip();
    for (const trace of track.traces) paintTrace(pen, painting, { track, trace, strip, edges });
    pen.restore();
  });
  paintSelected(pen, painting);
  paintAxis(pen, layout, view, ticks, colours);
}

/** A line along the foot wherever something is selected. */
function paintSelected(
  pen: CanvasRenderingContext2D,
  { traces, layout, view, colours, selected }: Painting,
): void {
  const scale = layout.width / (view.u1 - view.u0);
  pen.fillStyle = cssColour(colours.ink);
  for (let i = 0; i < selected.length; i += 2) {
    const from = (placeOfTime(traces.axis, selected[i]) - view.u0) * scale;
    const to = (placeOfTime(traces.axis, selected[i + 1]) - view.u0) * scale;
    if (to >= 0 && from <= layout.width) pen.fillRect(from, layout.axis.top - 1, Math.max(to - from, 1), 3);
  }
}

/** Each machine has a colour of its own; one that looks at all of them has the ink's. */
export function machineColour(colours: ThemeColours, place: number): Rgb {
  if (place < 0) return colours.quiet;
  return [colours.accent, colours.look, colours.edge, colours.mend][place % 4];
}

/** Moments of the borders between pixel columns. */
function columnEdges({ axis }: Traces, width: number, { u0, u1 }: AxisView): Float64Array {
  const edges = new Float64Array(width + 1);
  for (let x = 0; x <= width; x++) edges[x] = timeAtPlace(axis, u0 + ((u1 - u0) * x) / width);
  return edges;
}

function boundsOf(t_s: Float64Array, edges: Float64Array): Uint32Array {
  const bounds = new Uint32Array(edges.length);
  for (let x = 0; x < edges.length; x++) bounds[x] = firstAtOrAfter(t_s, edges[x]);
  return bounds;
}

interface TraceOnStrip {
  readonly track: TrackTraces;
  readonly trace: Trace;
  readonly strip: Strip;
  readonly edges: Float64Array;
}

function paintTrace(pen: CanvasRenderingContext2D, painting: Painting, on: TraceOnStrip): void {
  const { layout, colours } = painting;
  const { track, trace, strip, edges } = on;
  const yOf = (number: number) =>
    strip.top + strip.height - 1 - ((number - track.low) / (track.high - track.low)) * (strip.height - 2);
  const bounds = boundsOf(trace.t_s, edges);
  const rows = bounds[bounds.length - 1] - bounds[0];
  const colour = machineColour(colours, trace.place);
  if (rows < layout.width * 1.5) {
    paintRows(pen, painting, on, { yOf, from: bounds[0], to: bounds[bounds.length - 1], colour });
    return;
  }
  const middle: [x: number, y: number][] = [];
  pen.fillStyle = cssColour(colour, 0.3);
  for (let x = 0; x < layout.width; x++) {
    const { least, greatest, mean, count } = trace.pyramid.over(bounds[x], bounds[x + 1]);
    if (count === 0) continue;
    const top = yOf(greatest);
    pen.fillRect(x, top, 1, Math.max(yOf(least) - top, 1));
    middle.push([x, yOf(mean)]);
  }
  pen.strokeStyle = cssColour(colour);
  pen.lineWidth = 1.2;
  pen.beginPath();
  let last = -9;
  for (const [x, y] of middle) {
    if (x - last > 2) pen.moveTo(x + 0.5, y);
    else pen.lineTo(x + 0.5, y);
    last = x;
  }
  pen.stroke();
}

/** Row by row, when there are no more of them than pixels. */
function paintRows(
  pen: CanvasRenderingContext2D,
  { traces, layout, view }: Painting,
  { trace }: TraceOnStrip,
  how: {
    readonly yOf: (number: number) => number;
    readonly from: number;
    readonly to: number;
    readonly colour: Rgb;
  },
): void {
  const xOf = (t_s: number) =>
    ((placeOfTime(traces.axis, t_s) - view.u0) / (view.u1 - view.u0)) * layout.width;
  const from = Math.max(how.from - 1, 0);
  const to = Math.min(how.to + 1, trace.t_s.length);
  pen.strokeStyle = cssColour(how.colour);
  pen.fillStyle = cssColour(how.colour);
  pen.lineWidth = 1.2;
  pen.beginPath();
  let last_s = Number.NaN;
  const areDots = trace.place < 0 || to - from < layout.width / 6;
  for (let i = from; i < to; i++) {
    const number = trace.numbers[i];
    if (Number.isNaN(number)) {
      last_s = Number.NaN;
      continue;
    }
    const x = xOf(trace.t_s[i]);
    const y = how.yOf(number);
    if (trace.t_s[i] - last_s <= JOINED_S) pen.lineTo(x, y);
    else pen.moveTo(x, y);
    if (areDots) pen.fillRect(x - 1.5, y - 1.5, 3, 3);
    last_s = trace.t_s[i];
  }
  pen.stroke();
}

function paintGrid(pen: CanvasRenderingContext2D, painting: Painting, edges: Float64Array): void {
  const { traces, layout, view, ticks, colours } = painting;
  pen.fillStyle = cssColour(colours.hair, 0.6);
  for (const { u } of ticks) {
    const x = Math.round(((u - view.u0) / (view.u1 - view.u0)) * layout.width);
    pen.fillRect(x, layout.cutting.top, 1, layout.axis.top - layout.cutting.top);
  }
  pen.fillStyle = cssColour(colours.hair);
  for (const { top, height } of layout.tracks) pen.fillRect(0, top + height, layout.width, 1);
  // Breaks are hatched by their own colour: nothing happened there, and its length means nothing.
  pen.fillStyle = cssColour(colours.panel);
  traces.axis.spells.forEach((spell, i) => {
    const next = traces.axis.spells[i + 1];
    if (!next || next.start_s < edges[0] || spell.end_s > edges[edges.length - 1]) return;
    const x0 = ((spell.u + spell.end_s - spell.start_s - view.u0) / (view.u1 - view.u0)) * layout.width;
    const x1 = ((next.u - view.u0) / (view.u1 - view.u0)) * layout.width;
    pen.fillRect(x0, 0, Math.max(x1 - x0, 1), layout.axis.top);
  });
}

function paintAxis(
  pen: CanvasRenderingContext2D,
  layout: TimelineLayout,
  view: AxisView,
  ticks: readonly AxisTick[],
  colours: ThemeColours,
): void {
  pen.textBaseline = 'alphabetic';
  for (const { u, text, kind } of ticks) {
    const x = ((u - view.u0) / (view.u1 - view.u0)) * layout.width;
    pen.fillStyle = cssColour(kind === 'day' ? colours.ink : colours.quiet);
    pen.font = `${kind === 'day' ? '600 ' : ''}11px "Inter Variable", system-ui, sans-serif`;
    const width = pen.measureText(text).width;
    pen.fillText(text, Math.min(Math.max(x + 3, 0), layout.width - width), layout.axis.top + 14);
  }
}
