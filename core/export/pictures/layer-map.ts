/** The map of a layer that is exported, as a sheet by itself: title, ground, legend, coordinates, scale and north. */
import { classesOf } from '../../surface/classes.ts';
import { type LocalFrame, localFrame } from '../../track/local-frame.ts';
import type { Drawing, Shape } from '../document/drawing.ts';
import { point } from '../document/drawing.ts';
import { exactBoundsOf } from '../formats/layer-values.ts';
import type { ExportLayer, NumberColumn } from '../layers/layer.ts';
import { type Classes, roundClasses, viridis } from '../report/colour-classes.ts';
import type { PlaneBox } from '../report/map-frame.ts';
import { histogramPicture } from './legend-picture.ts';
import { filled, ringPath, surfaceShapes } from './map-ground.ts';
import { type MapSubject, mapShapes } from './map-picture.ts';
import { PRINT } from './palette.ts';
import type { PictureFrame } from './picture-frame.ts';

/** The sheet in points: ten inches wide. */
const SHEET = { width: 720, edge: 24, map_top: 70, least_height: 230, most_height: 520 };
const LEGEND_WIDTH = 170;
const LEGEND_GAP = 20;

/** A layer with what is drawn of it; `undefined` when no row has a place and a yield. */
interface MappedLayer {
  readonly layer: ExportLayer;
  readonly column: NumberColumn;
  readonly unit: string;
  readonly classes: Classes;
  /** By row; −1 none. */
  readonly classOfRow: Int32Array;
  readonly plane: LocalFrame;
}

/** `about` stands below the title, `foot` below the map. Nothing for a layer without places or yields. */
export function layerMap(
  layer: ExportLayer,
  { about, foot }: { readonly about: string; readonly foot: string },
): Drawing | undefined {
  const mapped = mappedLayer(layer);
  if (mapped === undefined) return undefined;
  const { width, edge, map_top, least_height, most_height } = SHEET;
  const map_width = width - 2 * edge - LEGEND_WIDTH - LEGEND_GAP;
  const room = { x: edge, y: map_top, width: map_width, least_height, most_height, margin: 16, foot: 20 };
  const { shapes, height } = mapShapes(subjectOf(mapped), room);
  const legend_x = edge + map_width + LEGEND_GAP;
  const legend = histogramPicture(mapped.classes, sharesOf(mapped), LEGEND_WIDTH);
  const text = (x: number, y: number, size: number, colour: string, words: string): Shape => ({
    kind: 'text',
    x,
    y,
    size,
    colour,
    text: words,
  });
  const moisture = layer.standard_moisture_pct;
  return {
    width,
    height: map_top + height + 34,
    shapes: [
      {
        kind: 'text',
        x: edge,
        y: 38,
        size: 20,
        colour: PRINT.ink,
        weight: 'strong',
        text: shortened(layer.field, 56),
      },
      text(edge, 55, 9.5, PRINT.quiet, shortened(about, 130)),
      ...shapes,
      {
        kind: 'text',
        x: legend_x,
        y: map_top + 9,
        size: 9,
        colour: PRINT.ink,
        weight: 'strong',
        text: `Yield, ${mapped.unit}`,
      },
      text(
        legend_x,
        map_top + 21,
        7.5,
        PRINT.quiet,
        `${moisture === undefined ? '' : `at ${moisture} % moisture; `}share of the ${SHARE_OF[layer.kind]}`,
      ),
      { kind: 'moved', x: legend_x, y: map_top + 32, shapes: legend.shapes },
      text(edge, map_top + height + 18, 7.5, PRINT.quiet, shortened(foot, 170)),
    ],
  };
}

const SHARE_OF: Readonly<Record<ExportLayer['kind'], string>> = {
  points: 'points',
  swaths: 'swaths',
  cells: 'ground',
  zones: 'ground',
};

function mappedLayer(layer: ExportLayer): MappedLayer | undefined {
  const column = layer.columns.find(
    (one): one is NumberColumn =>
      one.kind === 'real' && /^yield_(?!se_)/.test(one.name) && one.numbers.some(Number.isFinite),
  );
  const plane = planeOf(layer);
  if (column === undefined || plane === undefined) return undefined;
  // what a rule caught is no yield to be shown
  const kept = layer.columns.find(({ name }) => name === 'kept');
  const shown =
    kept?.kind === 'flag'
      ? column.numbers.map((amount, row) => (kept.numbers[row] === 1 ? amount : Number.NaN))
      : column.numbers;
  const classes = zoneClasses(layer, column) ?? roundClasses(shown, new Float64Array(shown.length).fill(1));
  return {
    layer,
    column: { ...column, numbers: shown },
    unit: UNIT_WORDS[column.name.replace('yield_', '')] ?? '',
    classes,
    classOfRow: layer.kind === 'zones' ? zoneNumbers(layer) : classesOf(shown, classes.limits),
    plane,
  };
}

const UNIT_WORDS: Readonly<Record<string, string>> = { t_ha: 't/ha', bu_ac: 'bu/ac', lb_ac: 'lb/ac' };

/** A plane about the middle of the layer; that of its raster where it is one. */
function planeOf(layer: ExportLayer): LocalFrame | undefined {
  if (layer.raster) return localFrame(layer.raster.longitude0_deg, layer.raster.latitude0_deg);
  const bounds = exactBoundsOf([layer]);
  if (bounds === undefined) return undefined;
  const [west, south, east, north] = bounds;
  return localFrame((west + (east < west ? east + 360 : east)) / 2, (south + north) / 2);
}

/** Classes of zones are those that they were made by. */
function zoneClasses(layer: ExportLayer, column: NumberColumn): Classes | undefined {
  if (layer.kind !== 'zones') return undefined;
  const upper = layer.columns.find(({ name }) => name === column.name.replace('yield', 'class_below'));
  if (upper === undefined || upper.kind === 'text') return undefined;
  const limits = [...new Set(upper.numbers.filter(Number.isFinite))].sort((a, b) => a - b);
  const colours = [...limits, 0].map((_, k) => viridis(limits.length === 0 ? 0.5 : k / limits.length));
  return {
    limits,
    colours,
    digits: column.name === 'yield_t_ha' ? 2 : column.name === 'yield_bu_ac' ? 1 : 0,
  };
}

function zoneNumbers(layer: ExportLayer): Int32Array {
  const column = layer.columns.find(({ name }) => name === 'class');
  if (column === undefined || column.kind === 'text') throw new RangeError('zones need the column "class"');
  // classes that no zone is of are not in the legend
  const known = [...new Set(column.numbers)].sort((a, b) => a - b);
  return Int32Array.from(column.numbers, (number) => known.indexOf(number));
}

function sharesOf({ layer, classes, classOfRow }: MappedLayer): number[] {
  const areas = layer.columns.find(({ name }) => /^area_/.test(name));
  const shares = classes.colours.map(() => 0);
  let total = 0;
  for (const [row, index] of classOfRow.entries()) {
    if (index < 0) continue;
    const weight = areas === undefined || areas.kind === 'text' ? 1 : areas.numbers[row];
    shares[index] += weight;
    total += weight;
  }
  return shares.map((share) => (total > 0 ? share / total : 0));
}

function subjectOf(mapped: MappedLayer): MapSubject {
  const { layer, plane, unit } = mapped;
  const outline = (layer.boundary ?? []).map((ring) => inPlane(ring, plane));
  return {
    box: boxOf(layer, outline, plane),
    outline,
    plane,
    system: unit === 't/ha' ? 'metric' : 'us',
    ground: (frame) => groundShapes(mapped, outline, frame),
  };
}

function groundShapes(
  { layer, column, classes, classOfRow, plane }: MappedLayer,
  outline: readonly Float64Array[],
  frame: PictureFrame,
): Shape[] {
  const { raster, geometry, rows } = layer;
  if (raster)
    return surfaceShapes(
      { grid: raster.grid, cells: raster.cells, shown: column.numbers },
      classes,
      frame,
      outline,
    );
  const paths = classes.colours.map(() => [] as string[]);
  if (geometry.kind === 'polygon') {
    for (let row = 0; row < rows; row++)
      if (classOfRow[row] >= 0)
        for (const ring of geometry.rings(row))
          paths[classOfRow[row]].push(ringPath(inPlane(ring, plane), frame));
    return paths.flatMap((rings, index) => filled(rings.join(''), classes.colours[index]));
  }
  const { east_m, north_m } = plane.toPlane(geometry.longitude_deg, geometry.latitude_deg);
  const radius = dotRadius(rows, frame);
  for (let row = 0; row < rows; row++)
    if (classOfRow[row] >= 0 && Number.isFinite(east_m[row]))
      paths[classOfRow[row]].push(dot(frame.x(east_m[row]), frame.y(north_m[row]), radius));
  return paths.flatMap((dots, index): Shape[] =>
    dots.length === 0 ? [] : [{ kind: 'path', d: dots.join(''), fill: classes.colours[index] }],
  );
}

/** Dots that nearly touch where points are spread evenly over the map. */
function dotRadius(rows: number, frame: PictureFrame): number {
  return Math.min(3.2, Math.max(0.7, 0.42 * Math.sqrt((frame.width * frame.height) / Math.max(rows, 1))));
}

function dot(x: number, y: number, radius: number): string {
  const r = point(radius);
  const d = point(2 * radius);
  return `M${point(x - radius)} ${point(y)}a${r} ${r} 0 1 0 ${d} 0a${r} ${r} 0 1 0-${d} 0z`;
}

/** A ring of degrees in the plane, metres. */
function inPlane(ring: Float64Array, plane: LocalFrame): Float64Array {
  const { east_m, north_m } = plane.toPlane(
    ring.filter((_, k) => k % 2 === 0),
    ring.filter((_, k) => k % 2 === 1),
  );
  return ring.map((_, k) => (k % 2 === 0 ? east_m[k >> 1] : north_m[k >> 1]));
}

function boxOf(layer: ExportLayer, outline: readonly Float64Array[], plane: LocalFrame): PlaneBox {
  let [east0, east1, north0, north1] = [Infinity, -Infinity, Infinity, -Infinity];
  const add = (east_m: number, north_m: number) => {
    if (!Number.isFinite(east_m + north_m)) return;
    east0 = Math.min(east0, east_m);
    east1 = Math.max(east1, east_m);
    north0 = Math.min(north0, north_m);
    north1 = Math.max(north1, north_m);
  };
  for (const ring of outline) for (let k = 0; k < ring.length; k += 2) add(ring[k], ring[k + 1]);
  const { geometry, rows } = layer;
  if (geometry.kind === 'point') {
    const { east_m, north_m } = plane.toPlane(geometry.longitude_deg, geometry.latitude_deg);
    for (const [row, east] of east_m.entries()) add(east, north_m[row]);
  } else {
    for (let row = 0; row < rows; row++)
      for (const ring of geometry.rings(row)) {
        const corners = inPlane(ring, plane);
        for (let k = 0; k < corners.length; k += 2) add(corners[k], corners[k + 1]);
      }
  }
  return { east0, east1, north0, north1 };
}

function shortened(text: string, most: number): string {
  const signs = [...text];
  return signs.length > most ? `${signs.slice(0, most - 1).join('')}…` : text;
}
