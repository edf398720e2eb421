/**
 * A template at true scale for machines whose inner side cannot be reached with a rule: two pieces, each folded round a
 * corner of the column's back, and a rule to verify the printer by. One unit of the drawing is one millimetre.
 */
import { type LengthUnits, lengthText } from '../../install/inch-fraction.ts';
import type { Placement } from '../../install/placement.ts';
import { html, type Markup } from '../report/markup.ts';
import { MARGIN_MM, PAPER_MM, type Paper } from './sheet-page.ts';

const PIECE_HEIGHT_MM = 66;
/** Paper beyond the hole's centre, and on the back wall at most and at least. */
const BEYOND_MM = 25;
const FLAP_MM = 60;
const LEAST_FLAP_MM = 20;
const MM_PER_IN = 25.4;
/** Length of the rule: what fits on either paper. */
export const RULE_MM = 150;
const RULE_IN = 6;

/** The template's page, or a sentence where the column is too deep for the paper. */
export function drillTemplate(placement: Placement, units: LengthUnits, paper: Paper): Markup {
  // upright, like the other pages: browsers shrink all pages when one is wider than the first
  const room_mm = PAPER_MM[paper][0] - 2 * MARGIN_MM;
  const flap_mm = Math.min(FLAP_MM, room_mm - placement.from_back_mm - BEYOND_MM - 2);
  if (flap_mm < LEAST_FLAP_MM)
    return html`<section class="template"><h2>Template</h2><p>The mark is too far from the back for a template on this paper: carry it over with square and level.</p></section>`;
  const width_mm = room_mm - 1;
  const height_mm = 2 * PIECE_HEIGHT_MM + 24;
  return html`<section class="template"><h2>Template <span class="kind">at true scale: print at 100 %, never “fit to page”; then lay a rule on the one below</span></h2>
<svg class="true-scale" width="${width_mm}mm" height="${height_mm}mm" viewBox="0 0 ${width_mm} ${height_mm}" role="img" aria-label="Drilling template">
${piece(placement, units, 'outer', flap_mm, 1)}${piece(placement, units, 'inner', flap_mm, PIECE_HEIGHT_MM + 5)}${rule(2 * PIECE_HEIGHT_MM + 10)}</svg>
<p class="lead">Rule off by more than half a millimetre: do not use the template. Lay the level line on the height, ${lengthText(placement.height_mm, units)} above the centre of the lower shaft, the fold on the corner of the back, printed side out. Check both marks with a level across before anything is drilled. The drill never crosses the column.</p></section>`;
}

/** Back wall on one side of the fold, face on the other; the inner piece is the outer one's mirror image. */
function piece(
  { from_back_mm, pilot_mm, hole_mm }: Placement,
  units: LengthUnits,
  face: 'outer' | 'inner',
  flap_mm: number,
  top: number,
): Markup {
  const width = from_back_mm + BEYOND_MM + flap_mm;
  const x = (mm: number) => rounded(face === 'outer' ? 1 + flap_mm + mm : 1 + width - flap_mm - mm);
  const level = top + PIECE_HEIGHT_MM / 2;
  const hole = x(from_back_mm);
  const middleOf = (from: number, to: number) => rounded((x(from) + x(to)) / 2);
  return html`<g><rect class="cut" x="1" y="${top}" width="${rounded(width)}" height="${PIECE_HEIGHT_MM}"/>
<path class="fold" d="M${x(0)} ${top}V${top + PIECE_HEIGHT_MM}"/><path class="measure" d="M1 ${level}H${rounded(1 + width)}M${hole} ${top + 8}V${top + PIECE_HEIGHT_MM - 8}"/>
<circle class="beam" cx="${hole}" cy="${level}" r="${rounded(hole_mm / 2)}"/><circle class="beam" cx="${hole}" cy="${level}" r="${rounded(pilot_mm / 2)}"/>
<text x="${middleOf(0, from_back_mm)}" y="${top + 5}" text-anchor="middle">${face} face, up</text><text x="${middleOf(-flap_mm, 0)}" y="${top + 5}" text-anchor="middle">back, up</text>
<text x="${x(0) + 1.5}" y="${top + PIECE_HEIGHT_MM - 14}">fold</text>
<text x="${middleOf(0, from_back_mm)}" y="${top + PIECE_HEIGHT_MM - 3}" text-anchor="middle">${lengthText(from_back_mm, units, 32)}</text>
<text x="${middleOf(-flap_mm, 0)}" y="${level - 1.5}" text-anchor="middle">level: ${face === 'outer' ? 'height on the outer side' : 'carried over'}</text></g>`;
}

/** Millimetres above, inches below one line of exactly 150 mm. */
function rule(y: number): Markup {
  const ticks: string[] = [];
  for (let mm = 0; mm <= RULE_MM; mm += 5) ticks.push(`M${1 + mm} ${y}v${mm % 10 === 0 ? -3 : -1.8}`);
  const inches: string[] = [];
  for (let k = 0; k <= 2 * RULE_IN - 1; k++)
    inches.push(`M${rounded(1 + (k * MM_PER_IN) / 2)} ${y}v${k % 2 === 0 ? 3 : 1.8}`);
  return html`<path class="rule" d="M1 ${y}H${1 + RULE_MM}"/><path class="cut" d="${ticks.join('')}${inches.join('')}"/>
<text x="${RULE_MM + 4}" y="${y - 0.5}">150 mm</text><text x="${rounded(1 + 5 * MM_PER_IN)}" y="${y + 7}" text-anchor="middle">5 in</text><text x="1" y="${y + 7}">0</text>`;
}

function rounded(mm: number): number {
  return Math.round(1000 * mm) / 1000;
}
