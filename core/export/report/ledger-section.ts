/** Where every kilogram that passed the beam went: bars to one scale, and the figures. */
import type { LedgerRow } from '../../result.ts';
import { ABSENT, percent, scaleMass, scaleUnit } from './figures.ts';
import { html, type Markup } from './markup.ts';
import { machineName, type ReportContext } from './report-context.ts';
import { ruleWords } from './rule-marks.ts';

/** One way that grain can go: a segment of every bar, and a column of the table. */
interface Way {
  readonly words: string;
  /** CSS classes of its tone. */
  readonly tone: string;
  readonly massOf: (row: LedgerRow) => number;
}

export function ledgerSection(context: ReportContext): Markup {
  const rows = context.result.summary.mass_ledger;
  if (rows.length === 0) return html``;
  const ways = waysOf(rows);
  const most_kg = Math.max(...rows.map((row) => row.beam_kg));
  const unit = scaleUnit(context.system);
  return html`<section><h2>Mass ledger <span class="kind">where every ${unit === 'lb' ? 'pound' : 'kilogram'} of grain went</span></h2>
<p class="lead">Screened grain is missing from the map, not from the totals: a field's total is all grain cut in it over all ground cut in it.</p>
<div class="bars">${rows.map((row) => bar(row, ways, most_kg, context))}</div>
<div class="wide"><table class="ledger"><thead><tr><th scope="col">${unit}</th>${ways.map((way) => html`<th scope="col"><span class="swatch ${way.tone}"></span>${way.words}</th>`)}<th scope="col">passed the beam</th></tr></thead>
<tbody>${rows.map((row) => figures(row, ways, context))}</tbody></table></div></section>
`;
}

/** All ways that any row knows, in one order, so that a tone means the same in every bar. */
function waysOf(rows: readonly LedgerRow[]): Way[] {
  const rules = [...new Set(rows.flatMap((row) => Object.keys(row.screened_kg)))];
  const ways: Way[] = [
    { words: 'on the map', tone: 'mapped', massOf: (row) => row.mapped_kg },
    ...rules.map((rule, index) => ({
      words: ruleWords(rule),
      tone: `screened tone-${index % 4}`,
      massOf: (row: LedgerRow) => row.screened_kg[rule] ?? 0,
    })),
    { words: 'outside the field', tone: 'lost tone-0', massOf: (row) => row.outside_field_kg },
    { words: 'not cutting', tone: 'lost tone-1', massOf: (row) => row.not_cutting_kg },
  ];
  return ways.filter((way) => rows.some((row) => way.massOf(row) !== 0));
}

/** A bar as long as its grain, next to the longest; amounts below zero (noise near an empty elevator) have no length. */
function bar(row: LedgerRow, ways: readonly Way[], most_kg: number, context: ReportContext): Markup {
  const machine = machineName(context, row.machine);
  const segments = ways.map(
    (way) =>
      html`<span class="${way.tone}" style="width:${((100 * Math.max(0, way.massOf(row))) / most_kg).toFixed(3)}%"></span>`,
  );
  return html`<span>${row.field} <span class="kind">${machine}</span></span><div class="to-scale" role="img" aria-label="Where the grain of ${row.field}, ${machine}, went, to scale">${segments}</div>`;
}

function figures(row: LedgerRow, ways: readonly Way[], context: ReportContext): Markup {
  const cells = ways.map((way) => {
    const mass_kg = way.massOf(row);
    if (mass_kg === 0) return html`<td class="none">${ABSENT}</td>`;
    return html`<td>${scaleMass(mass_kg, context.system).number}<span class="share">${percent(mass_kg / row.beam_kg, 2)}</span></td>`;
  });
  return html`<tr><th scope="row">${row.field} <span class="kind">${machineName(context, row.machine)}</span></th>${cells}<td><b>${scaleMass(row.beam_kg, context.system).number}</b><span class="share">${percent(1, 2)}</span></td></tr>`;
}
