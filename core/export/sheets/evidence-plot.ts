/** A picture of evidence: points, lines or bars on shared axes. */
import type { Evidence, EvidenceSeries } from '../../install/finding.ts';
import { areApart, roundStep } from '../report/colour-classes.ts';
import { grouped } from '../report/figures.ts';
import { html, type Markup } from '../report/markup.ts';

const WIDTH = 300;
const HEIGHT = 130;
const LEFT = 44;
const TOP = 10;
const BOTTOM = 24;
const RIGHT = 8;

/** Nothing where there is nothing to draw. */
export function evidencePlot(evidence: Evidence): Markup {
  const { series, levels, title, x_label, y_label } = evidence;
  const xs = series.flatMap(({ x }) => x);
  const ys = [...series.flatMap(({ y }) => y), ...levels.map(({ y }) => y)];
  if (xs.length === 0) return html``;
  const isBars = series.some(({ kind }) => kind === 'bars');
  const x = axisOf(xs, 'tight');
  const y = axisOf(isBars ? [0, ...ys] : ys, 'roomy');
  const atX = (value: number) =>
    rounded(LEFT + ((WIDTH - LEFT - RIGHT) * (value - x.from)) / (x.to - x.from));
  const atY = (value: number) =>
    rounded(HEIGHT - BOTTOM - ((HEIGHT - BOTTOM - TOP) * (value - y.from)) / (y.to - y.from));
  const grid = y.ticks.map(
    (tick) =>
      html`<path class="grid" d="M${LEFT} ${atY(tick)}H${WIDTH - RIGHT}"/><text x="${LEFT - 4}" y="${atY(tick) + 3}" text-anchor="end">${grouped(tick, y.digits)}</text>`,
  );
  const along = x.ticks.map(
    (tick) =>
      html`<text x="${atX(tick)}" y="${HEIGHT - BOTTOM + 12}" text-anchor="middle">${grouped(tick, x.digits)}</text>`,
  );
  const marks = series.map((one) => seriesMark(one, atX, atY));
  const lines = levels.map(
    (level) =>
      html`<path class="level" d="M${LEFT} ${atY(level.y)}H${WIDTH - RIGHT}"/><text class="level" x="${WIDTH - RIGHT}" y="${atY(level.y) - 3}" text-anchor="end">${level.name}</text>`,
  );
  return html`<figure><figcaption>${title}, ${y_label}</figcaption><svg class="trace" viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="${title}">${grid}${along}${marks}${lines}<text x="${WIDTH - RIGHT}" y="${HEIGHT - 2}" text-anchor="end">${x_label}</text></svg></figure>`;
}

function seriesMark(
  { kind, x, y }: EvidenceSeries,
  atX: (x: number) => number,
  atY: (y: number) => number,
): Markup {
  if (kind === 'line')
    return html`<path class="line" d="${x.map((at, i) => `${i === 0 ? 'M' : 'L'}${atX(at)} ${atY(y[i])}`).join('')}"/>`;
  if (kind === 'bars')
    return html`<path class="bar" d="${x.map((at, i) => `M${atX(at)} ${atY(0)}V${atY(y[i])}`).join('')}"/>`;
  return html`<path class="dots" d="${x.map((at, i) => `M${atX(at) - 1} ${atY(y[i]) - 1}h2v2h-2z`).join('')}"/>`;
}

/** From the least to the greatest, with three to six round ticks between. */
function axisOf(numbers: readonly number[], fit: 'tight' | 'roomy') {
  let from = numbers.reduce((least, one) => Math.min(least, one), Number.POSITIVE_INFINITY);
  let to = numbers.reduce((most, one) => Math.max(most, one), Number.NEGATIVE_INFINITY);
  if (!areApart(from, to)) {
    from -= 1;
    to += 1;
  }
  const step = roundStep((to - from) / 3);
  if (fit === 'roomy') {
    from = Math.floor(from / step) * step;
    to = Math.ceil(to / step) * step;
  }
  const ticks: number[] = [];
  for (let k = Math.ceil(from / step - 1e-9); k * step <= to + 1e-9 * step; k++) ticks.push(k * step);
  return { from, to, ticks, digits: Math.max(0, -Math.floor(Math.log10(step) + 1e-9)) };
}

function rounded(pixels: number): number {
  return Math.round(10 * pixels) / 10;
}
