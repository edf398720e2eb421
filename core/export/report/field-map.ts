/** The map of one field: swaths in yield classes, screened points as open marks, boundary, scale bar and north arrow. */
import { type FieldPoints, SCREENING_RULES } from '../../result.ts';
import { M_PER_FT, tHaFromKgM2 } from '../../units.ts';
import { type Classes, classOf } from './colour-classes.ts';
import { grouped, type UnitSystem, type YieldScale } from './figures.ts';
import { type MapFrame, mapFrame } from './map-frame.ts';
import { html, Markup, NOTHING } from './markup.ts';
import { markPath, UNMARKED } from './rule-marks.ts';
import { type DrawnStrip, swathStrips } from './swath-strips.ts';

/** Marks of one rule stand at least this far apart, in picture points. */
const LEAST_MARK_DISTANCE = 9;

export interface MapChoices {
  readonly classes: Classes;
  readonly scale: YieldScale;
  readonly system: UnitSystem;
  /** How wide a row's swath is drawn, m. */
  readonly widthOf: (points: FieldPoints, row: number) => number;
  /** Rings of the field's boundary, interleaved east, north, m. */
  readonly outline: readonly Float64Array[];
}

/** The map as an SVG figure, or a sentence when there is nothing to draw. */
export function fieldMap(points: FieldPoints, choices: MapChoices): Markup {
  const frame = mapFrame(points, choices.outline);
  if (!frame) return html`<p class="empty">No ground was cut in this field, so there is no map.</p>`;
  const title = `Yield map of ${points.field}, ${choices.scale.unit}`;
  return html`<svg class="map" viewBox="0 0 ${frame.width} ${frame.height}" role="img" aria-label="${title}"><title>${title}</title>
<g class="swaths">${swaths(points, frame, choices)}</g>
${boundary(choices.outline, frame)}${marks(points, frame)}
${scaleBar(frame, choices.system)}${northArrow(frame)}</svg>`;
}

/**
 * All ground cut, kept points in their class's colour, screened ones in grey. Swaths are drawn as wide as the header,
 * the last one first: each then shows just what was fresh when it came, also where it overlaps another aslant.
 */
function swaths(points: FieldPoints, frame: MapFrame, choices: MapChoices): Markup[] {
  const { classes, scale } = choices;
  const isKept = (row: number) => points.screened_by[row] === 0;
  const widthOf = (row: number) => choices.widthOf(points, row);
  const classOfMean = (mean: number) => classOf(classes, scale.from(tHaFromKgM2(mean)));
  const kept = swathStrips(points, frame, { classOfMean, widthOf, isDrawn: isKept });
  const screened = swathStrips(points, frame, {
    classOfMean: () => classes.colours.length,
    widthOf,
    isDrawn: (row) => !isKept(row),
  });
  const ordered = [...kept, ...screened].sort((a, b) => b.t_s - a.t_s);
  return runsOfClass(ordered).map(({ index, path }) =>
    index < classes.colours.length
      ? html`<path color="${classes.colours[index]}" d="${new Markup(path)}"/>\n`
      : html`<path class="ghost" d="${new Markup(path)}"/>\n`,
  );
}

/** Neighbours in the order of drawing that have one colour become one path. */
function runsOfClass(strips: readonly DrawnStrip[]): { index: number; path: string }[] {
  const runs: { index: number; path: string }[] = [];
  for (const { index, path } of strips) {
    const last = runs.at(-1);
    if (last?.index === index) last.path += path;
    else runs.push({ index, path });
  }
  return runs;
}

/** The field's boundary, and in the map's foot what the line means. */
function boundary(outline: readonly Float64Array[], frame: MapFrame): Markup {
  if (outline.length === 0) return NOTHING;
  const rings = outline.map((ring) => {
    const corners = Array.from({ length: ring.length >> 1 }, (_, corner) => {
      const [east_m, north_m] = ring.subarray(2 * corner, 2 * corner + 2);
      return `${frame.x(east_m).toFixed(1)} ${frame.y(north_m).toFixed(1)}`;
    });
    return `M${corners.join(' ')}z`;
  });
  const y = frame.height - 18;
  return html`<path class="boundary" d="${rings.join('')}"/><path class="boundary" d="M22 ${y}h22"/><text x="50" y="${y + 4}">boundary</text>`;
}

function marks(points: FieldPoints, frame: MapFrame): Markup {
  const paths = SCREENING_RULES.map((rule, index) => {
    if (UNMARKED.includes(rule)) return '';
    const pieces: string[] = [];
    let last = [-1e9, -1e9];
    for (let row = 0; row < points.t_s.length; row++) {
      if (points.screened_by[row] !== index + 1) continue;
      const x = frame.x(points.east_m[row]);
      const y = frame.y(points.north_m[row]);
      if (!(Math.hypot(x - last[0], y - last[1]) >= LEAST_MARK_DISTANCE)) continue;
      pieces.push(markPath(rule, x, y));
      last = [x, y];
    }
    return pieces.join('');
  });
  const shapes = new Markup(paths.join(''));
  return html`<path class="halo" d="${shapes}"/><path class="marks" d="${shapes}"/>`;
}

function scaleBar(frame: MapFrame, system: UnitSystem): Markup {
  const m_per_unit = system === 'us' ? M_PER_FT : 1;
  const most = 170 / frame.points_per_m / m_per_unit;
  const power = 10 ** Math.floor(Math.log10(most));
  const length = ([5, 2, 1].find((factor) => factor * power <= most) ?? 1) * power;
  const width = length * m_per_unit * frame.points_per_m;
  const right = frame.width - 48;
  const y = frame.height - 14;
  const text = `${grouped(length, length < 1 ? 1 : 0)} ${system === 'us' ? 'ft' : 'm'}`;
  return html`<g class="scale"><path d="M${(right - width).toFixed(1)} ${y - 5}v5h${width.toFixed(1)}v-5"/><text x="${(right - width / 2).toFixed(1)}" y="${y - 5}" text-anchor="middle">${text}</text></g>`;
}

function northArrow(frame: MapFrame): Markup {
  const x = frame.width - 24;
  const y = frame.height - 14;
  return html`<g class="north"><path d="M${x} ${y - 22}l5.5 13-5.5-3.2-5.5 3.2z"/><text x="${x}" y="${y}" text-anchor="middle">N</text></g>`;
}
