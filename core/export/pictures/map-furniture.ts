/** What stands on a map beside the ground: coordinates, scale bar, north arrow, boundary. */
import type { LocalFrame } from '../../track/local-frame.ts';
import { M_PER_FT } from '../../units.ts';
import { point, rectangle, type Shape } from '../document/drawing.ts';
import { roundStep } from '../report/colour-classes.ts';
import { grouped, type UnitSystem } from '../report/figures.ts';
import { ringPath } from './map-ground.ts';
import { LETTERS, PRINT } from './palette.ts';
import type { PictureFrame } from './picture-frame.ts';

/** Lines of longitude and latitude are about so far apart, in points. */
const GRATICULE_STEP = 120;
/** Labels keep so far from the corners, where lines meet the frame and scale and north stand. */
const CORNER = 30;

/** The map's sheet. */
export function mapSheet(frame: PictureFrame): Shape[] {
  const { left, top, width, height } = frame;
  return [{ kind: 'path', d: rectangle(left, top, width, height), fill: PRINT.panel }];
}

/**
 * Lines of longitude and latitude at round degrees, drawn over the ground, so light that they do not colour it; labels along the left
 * and the upper edge. None where the plane's place is unknown.
 */
export function graticule(frame: PictureFrame, plane: LocalFrame | undefined): Shape[] {
  if (plane === undefined) return [];
  const { left, top, width, height } = frame;
  const right = left + width;
  const bottom = top + height;
  const corners = plane.toGeographic(
    [frame.eastOf_m(left), frame.eastOf_m(right)],
    [frame.northOf_m(bottom), frame.northOf_m(top)],
  );
  const [west, east] = unrolled(corners.longitude_deg);
  const [south, north] = corners.latitude_deg;
  const meridians = roundPlaces(west, east, width).map(({ at, digits }) => {
    const line = plane.toPlane([at, at], [south, north]);
    return { digits, at, from: frame.x(line.east_m[1]), to: frame.x(line.east_m[0]) };
  });
  const parallels = roundPlaces(south, north, height).map(({ at, digits }) => {
    const line = plane.toPlane([west, east], [at, at]);
    return { digits, at, from: frame.y(line.north_m[0]), to: frame.y(line.north_m[1]) };
  });
  const lines = [
    ...meridians.map(({ from, to }) => `M${point(from)} ${point(top)}L${point(to)} ${point(bottom)}`),
    ...parallels.map(({ from, to }) => `M${point(left)} ${point(from)}L${point(right)} ${point(to)}`),
  ].join('');
  const label = (text: string, x: number, y: number): Shape => ({
    kind: 'text',
    x,
    y,
    text,
    size: LETTERS.small,
    colour: PRINT.quiet,
    halo: PRINT.panel,
  });
  return [
    { kind: 'path', d: lines, stroke: PRINT.ink, width: 0.35, opacity: 0.22 },
    ...meridians
      .filter(({ from }) => from > left + CORNER && from < right - 2 * CORNER)
      .map(({ at, from, digits }) => label(degrees(at, digits, 'E', 'W'), from + 2.5, top + 8)),
    ...parallels
      .filter(({ from }) => from > top + 0.7 * CORNER && from < bottom - CORNER)
      .map(({ at, from, digits }) => label(degrees(at, digits, 'N', 'S'), left + 3, from - 2.5)),
  ];
}

function unrolled(longitude_deg: Float64Array): [number, number] {
  const [west, east] = longitude_deg;
  return [west, east < west ? east + 360 : east];
}

/** Round degrees from … to, about a step apart on paper. */
function roundPlaces(from: number, to: number, length: number): { at: number; digits: number }[] {
  const step = roundStep(((to - from) / length) * GRATICULE_STEP);
  if (!(step > 0)) return [];
  const digits = Math.max(0, Math.ceil(-Math.log10(step) - 1e-9) + (isQuarter(step) ? 1 : 0));
  const places: { at: number; digits: number }[] = [];
  for (let k = Math.ceil(from / step); k * step <= to; k++) places.push({ at: k * step, digits });
  return places;
}

/** 2.5 times a power of ten needs one digit more. */
function isQuarter(step: number): boolean {
  const mantissa = step / 10 ** Math.floor(Math.log10(step) + 1e-9);
  return Math.abs(mantissa - 2.5) < 1e-6;
}

function degrees(angle_deg: number, digits: number, positive: string, negative: string): string {
  const turned = angle_deg > 180 ? angle_deg - 360 : angle_deg;
  return `${Math.abs(turned).toFixed(digits)}° ${turned < 0 ? negative : positive}`;
}

/** A bar of a round length in feet or metres, at most a quarter of the map. */
export function scaleBar(frame: PictureFrame, system: UnitSystem): Shape[] {
  const m_per_unit = system === 'us' ? M_PER_FT : 1;
  const most = Math.min(130, 0.24 * frame.width) / frame.points_per_m / m_per_unit;
  const power = 10 ** Math.floor(Math.log10(most));
  const length = ([5, 2, 1].find((factor) => factor * power <= most) ?? 1) * power;
  const width = length * m_per_unit * frame.points_per_m;
  const right = frame.left + frame.width - 34;
  const y = frame.top + frame.height - 10;
  const unit = system === 'us' ? 'ft' : 'm';
  return [
    {
      kind: 'path',
      d: `M${point(right - width)} ${point(y - 4)}v4h${point(width)}v-4`,
      stroke: PRINT.ink,
      width: 0.8,
    },
    {
      kind: 'text',
      x: right - width / 2,
      y: y - 4,
      text: `${grouped(length, length < 1 ? 1 : 0)} ${unit}`,
      size: LETTERS.usual,
      colour: PRINT.ink,
      anchor: 'middle',
    },
  ];
}

export function northArrow(frame: PictureFrame): Shape[] {
  const x = frame.left + frame.width - 15;
  const y = frame.top + frame.height - 10;
  return [
    { kind: 'path', d: `M${point(x)} ${point(y - 19)}l4.4 11-4.4-2.6-4.4 2.6z`, fill: PRINT.ink },
    { kind: 'text', x, y, text: 'N', size: LETTERS.usual, colour: PRINT.ink, anchor: 'middle' },
  ];
}

const BOUNDARY = { stroke: PRINT.ink, width: 0.8, opacity: 0.75 } as const;

/** The field's boundary. */
export function boundaryLine(outline: readonly Float64Array[], frame: PictureFrame): Shape[] {
  if (outline.length === 0) return [];
  return [{ kind: 'path', d: outline.map((ring) => ringPath(ring, frame)).join(''), ...BOUNDARY }];
}

/** In the map's foot, what the line means. */
export function boundaryLegend(frame: PictureFrame): Shape[] {
  const y = frame.top + frame.height - 10;
  const x = frame.left + 10;
  return [
    { kind: 'path', d: `M${point(x)} ${point(y - 2.5)}h16`, ...BOUNDARY },
    { kind: 'text', x: x + 20, y, text: 'boundary', size: LETTERS.usual, colour: PRINT.ink },
  ];
}
