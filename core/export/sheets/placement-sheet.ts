/** The placement worksheet to print: marks, drawings, what the place costs, kit, steps with cautions, template. */
import {
  DEFER,
  type FittingStep,
  fittingKit,
  fittingSteps,
  wireSentence,
} from '../../install/fitting-steps.ts';
import { type LengthUnits, lengthText } from '../../install/inch-fraction.ts';
import type { Placement, PlacementSheet } from '../../install/placement.ts';
import { FILLS, SLOPES } from '../../install/placement-errors.ts';
import { html, type Markup } from '../report/markup.ts';
import { columnDrawings } from './column-drawing.ts';
import { drillTemplate } from './drill-template.ts';
import { type Paper, sheetPage } from './sheet-page.ts';

export interface PlacementPrint {
  readonly machine: string;
  readonly units: LengthUnits;
  readonly paper: Paper;
}

/** Text of `placement.html`. */
export function placementSheet(placement: Placement, sheet: PlacementSheet, print: PlacementPrint): string {
  const { units, paper, machine } = print;
  return sheetPage(
    {
      kind: 'Placement worksheet',
      title: machine,
      below: 'where the beam crosses the clean-grain elevator',
      beside: html`Engine off, key out, everything blocked.<br>Maker’s instructions and local rules come first.`,
      paper,
    },
    [
      marks(placement, units),
      html`<section class="unbroken"><h2>Column <span class="kind">to scale</span></h2>${columnDrawings(placement, sheet, units)}</section>`,
      costs(placement),
      kit(placement, units),
      steps(fittingSteps(placement, units)),
      drillTemplate(placement, units, paper),
    ],
  );
}

function marks(placement: Placement, units: LengthUnits): Markup {
  const { height_mm, from_back_mm, pilot_mm, hole_mm, beam_sheet, remarks } = placement;
  const other: LengthUnits = units === 'us' ? 'metric' : 'us';
  const row = (name: string, mm: number, parts: number) =>
    html`<tr><th scope="row">${name}</th><td><b>${lengthText(mm, units, parts)}</b></td><td>${lengthText(mm, other, parts)}</td></tr>`;
  return html`<section><h2>Marks <span class="kind">the same on the outer and the inner face; in brackets what the rule’s fraction leaves over</span></h2>
<table><tbody>${row('above the centre of the lower shaft', height_mm, 16)}${row('from the outside of the column’s back', from_back_mm, 32)}${row('pilot hole', pilot_mm, 32)}${row('full hole', hole_mm, 32)}</tbody></table>
<ul>${remarks.map((remark) => html`<li>${remark}</li>`)}</ul>
<p class="lead">For season.json: <code>"beam": ${JSON.stringify(beam_sheet)}</code></p></section>`;
}

function costs({ slope_errors, slot_errors, behind_middle_mm, lag_share_s, empty_level }: Placement): Markup {
  const lag =
    lag_share_s === undefined
      ? 'Give the chain speed, and the elevator’s own share of the lag is shown.'
      : `Of the lag, ${lag_share_s.toFixed(2)} s are the elevator’s own: height over chain speed.`;
  const cells = (errors: Placement['slope_errors'], slope: number) =>
    FILLS.map((fill) => {
      const found = errors.find((one) => one.slope === slope && one.fill === fill);
      return html`<td>± ${found?.flow_error_pct.toFixed(1)} %</td>`;
    });
  const rows = SLOPES.map(
    (slope) =>
      html`<tr><th scope="row">slope of ${100 * slope} %</th>${cells(slope_errors, slope)}${cells(slot_errors, slope)}</tr>`,
  );
  const heads = FILLS.map((fill) => html`<th scope="col">heap ${100 * fill} % of the pitch</th>`);
  return html`<section class="unbroken"><h2>What the place costs <span class="kind">of the flow, up and down a slope, before correction</span></h2>
<p class="lead">The beam looks ${behind_middle_mm.toFixed(1)} mm behind the middle; a heap on a slope θ is seen δ·tan θ too high or low. On the right, what every 5 mm cost by which the beam is off its mark.</p>
<table><thead><tr><th></th><th scope="colgroup" colspan="3">at the mark</th><th scope="colgroup" colspan="3">each 5 mm off it</th></tr><tr><th></th>${heads}${heads}</tr></thead><tbody>${rows}</tbody></table>
<p>${lag} Empty and running, the beam should be dark for ${(100 * empty_level).toFixed(1)} % of the time.</p></section>`;
}

function kit(placement: Placement, units: LengthUnits): Markup {
  const { tools, consumables } = fittingKit(placement, units);
  const list = (items: readonly string[]) => html`<ul>${items.map((item) => html`<li>${item}</li>`)}</ul>`;
  return html`<section class="unbroken"><h2>Kit</h2><h3>Tools</h3>${list(tools)}<h3>Consumables</h3>${list(consumables)}<p>${wireSentence()}</p></section>`;
}

function steps(fitting: readonly FittingStep[]): Markup {
  const items = fitting.map(
    ({ title, cautions, doings }) =>
      html`<li><h3>${title}</h3>${cautions.map((caution) => html`<p class="caution">${caution}</p>`)}<ul>${doings.map((doing) => html`<li>${doing}</li>`)}</ul></li>`,
  );
  return html`<section><h2>Steps <span class="kind">the cautions before each are read first</span></h2><p><b>${DEFER}</b></p><ol class="steps">${items}</ol></section>`;
}
