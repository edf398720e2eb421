/** The elevator column to scale: from the side with shaft, paddles and mark, and cut across at the beam. */
import { type LengthUnits, lengthText } from '../../install/inch-fraction.ts';
import type { Placement, PlacementSheet } from '../../install/placement.ts';
import { html, type Markup } from '../report/markup.ts';

/** Scales that a rule can be laid on. */
const SCALES = [1, 2, 2.5, 5, 10, 15, 20, 25, 30, 40, 50] as const;
const TALLEST_MM = 105;
const WIDEST_MM = 45;
/** Drawn below the lower shaft and above the beam, mm on the machine. */
const BELOW_MM = 160;
const ABOVE_MM = 260;

/** The finest scale at which `length_mm` fits into `room_mm`. */
export function scaleFor(length_mm: number, room_mm: number): number {
  return SCALES.find((scale) => length_mm / scale <= room_mm) ?? SCALES[SCALES.length - 1];
}

export function columnDrawings(placement: Placement, sheet: PlacementSheet, units: LengthUnits): Markup {
  return html`<div class="drawings">${sideView(placement, sheet, units)}${sectionView(placement, sheet, units)}</div>`;
}

function sideView(placement: Placement, sheet: PlacementSheet, units: LengthUnits): Markup {
  const { height_mm, from_back_mm } = placement;
  const tall_mm = height_mm + BELOW_MM + ABOVE_MM;
  const scale = scaleFor(tall_mm, TALLEST_MM);
  const at = (mm: number) => Math.round((1000 * mm) / scale) / 1000;
  const margin = 34;
  const depth = at(sheet.column_depth_mm);
  const shaftY = at(tall_mm - BELOW_MM);
  const beamY = shaftY - at(height_mm);
  const beamX = margin + at(from_back_mm);
  const width = margin + depth + 54;
  const paddles: Markup[] = [];
  for (let y = shaftY - at(0.5 * sheet.paddle.pitch_mm); y > at(20); y -= at(sheet.paddle.pitch_mm)) {
    paddles.push(
      html`<rect class="steel" x="${margin + 0.06 * depth}" y="${y}" width="${0.88 * depth}" height="${Math.max(0.3, at(sheet.paddle.thickness_mm))}"/>`,
    );
  }
  return html`<figure><svg class="scaled" width="${width}mm" height="${at(tall_mm) + 4}mm" viewBox="0 0 ${width} ${at(tall_mm) + 4}" role="img" aria-label="Elevator column from the side">
<path class="wall" d="M${margin} 2V${at(tall_mm)}M${margin + depth} 2V${at(tall_mm)}"/>${paddles}
<circle class="wall" cx="${margin + depth / 2}" cy="${shaftY}" r="${at(25)}"/><path class="measure" d="M${margin - 24} ${shaftY}H${margin + depth + 4}M${margin - 24} ${beamY}H${margin + depth + 4}M${margin - 20} ${shaftY}V${beamY}"/>
<circle class="beam" cx="${beamX}" cy="${beamY}" r="${Math.max(0.8, at(placement.hole_mm / 2))}"/><path class="beam" d="M${beamX - 3} ${beamY}H${beamX + 3}M${beamX} ${beamY - 3}V${beamY + 3}"/>
<text x="${margin + depth + 6}" y="${beamY + 1}">beam: ${lengthText(placement.from_back_mm, units, 32)} from the back</text>
<text x="${margin + depth + 6}" y="${shaftY + 1}">centre of the lower shaft</text>
<text x="${margin - 22}" y="${(shaftY + beamY) / 2}" transform="rotate(-90 ${margin - 22} ${(shaftY + beamY) / 2})" text-anchor="middle">${lengthText(height_mm, units)}</text>
<text class="quiet" x="${margin - 2}" y="6" text-anchor="end">back</text><text class="quiet" x="${margin + depth + 2}" y="6">front</text>
</svg><figcaption>From the outer side, 1 : ${scale}</figcaption></figure>`;
}

function sectionView(placement: Placement, sheet: PlacementSheet, units: LengthUnits): Markup {
  const { column_width_mm, column_depth_mm, paddle, chain } = sheet;
  const scale = scaleFor(Math.max(column_width_mm, column_depth_mm), WIDEST_MM);
  const at = (mm: number) => Math.round((1000 * mm) / scale) / 1000;
  const width = at(column_width_mm);
  const depth = at(column_depth_mm);
  const left = 12;
  const top = 10;
  const y = top + at(placement.from_back_mm);
  const paddleX = left + at((column_width_mm - paddle.width_mm) / 2);
  const paddleY = top + at((column_depth_mm - paddle.depth_mm) / 2);
  const chainMark =
    chain === undefined
      ? ''
      : html`<rect class="steel" x="${left + width / 2 - at(20)}" y="${top + at(chain.from_back_mm - chain.thickness_mm / 2)}" width="${at(40)}" height="${at(chain.thickness_mm)}"/>`;
  return html`<figure><svg class="scaled" width="${width + 2 * left + 30}mm" height="${depth + top + 14}mm" viewBox="0 0 ${width + 2 * left + 30} ${depth + top + 14}" role="img" aria-label="Column cut across at the beam">
<rect class="wall" x="${left}" y="${top}" width="${width}" height="${depth}"/><rect class="measure" x="${paddleX}" y="${paddleY}" width="${at(paddle.width_mm)}" height="${at(paddle.depth_mm)}"/>${chainMark}
<path class="beam" d="M${left - 8} ${y}H${left + width + 8}"/><path class="measure" d="M${left + width + 11} ${top}V${y}M${left + width + 9} ${top}H${left + width + 13}"/>
<text x="${left + width + 13}" y="${(top + y) / 2 + 1}">${lengthText(placement.from_back_mm, units, 32)}</text>
<text class="quiet" x="${left + width / 2}" y="${top - 2}" text-anchor="middle">back</text><text class="quiet" x="${left + width / 2}" y="${top + depth + 5}" text-anchor="middle">front</text>
<text class="quiet" x="${left - 2}" y="${y - 2}" text-anchor="end">out</text>
</svg><figcaption>Cut across at the beam, 1 : ${scale}</figcaption></figure>`;
}
