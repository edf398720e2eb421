/** Where every kilogram that passed the beam went: a bar to scale, and the figures. */
import type { LedgerRow } from '../../result.ts';
import { percent, scaleMass, scaleUnit } from './figures.ts';
import { html, type Markup } from './markup.ts';
import type { ReportContext } from './report-context.ts';
import { ruleWords } from './rule-marks.ts';

interface Part {
  readonly words: string;
  readonly mass_kg: number;
  readonly kind: 'mapped' | 'screened' | 'lost';
}

export function ledgerSection(context: ReportContext): Markup {
  const rows = context.result.summary.mass_ledger;
  if (rows.length === 0) return html``;
  return html`<section><h2>Mass ledger <span class="kind">where every ${scaleUnit(context.system) === 'lb' ? 'pound' : 'kilogram'} of grain went</span></h2>
<p class="lead">Screened grain is missing from the map, not from the totals: a field's total is all grain cut in it over all ground cut in it.</p>
${rows.map((row) => ledgerBlock(row, context))}</section>
`;
}

function ledgerBlock(row: LedgerRow, context: ReportContext): Markup {
  const parts = partsOf(row).filter((part) => part.mass_kg !== 0);
  const tones = tonesOf(parts);
  const lines = parts.map(
    (part, index) =>
      html`<tr><th scope="row"><span class="swatch ${tones[index]}"></span>${part.words}</th><td>${scaleMass(part.mass_kg, context.system).number}</td><td>${percent(part.mass_kg / row.beam_kg, 2)}</td></tr>`,
  );
  const total = scaleMass(row.beam_kg, context.system);
  return html`<div class="ledger"><h3>${row.field} <span class="kind">machine ${row.machine}</span></h3>
<div class="to-scale" role="img" aria-label="Shares of the grain, to scale">${parts.map((part, index) => html`<span class="${tones[index]}" style="width:${Math.max(0, (100 * part.mass_kg) / row.beam_kg).toFixed(3)}%"></span>`)}</div>
<table><thead><tr><th></th><th scope="col">${total.unit}</th><th scope="col">share</th></tr></thead><tbody>${lines}</tbody>
<tfoot><tr><th scope="row">passed the beam</th><td>${total.number}</td><td>${percent(1, 2)}</td></tr></tfoot></table></div>`;
}

function partsOf(row: LedgerRow): Part[] {
  return [
    { words: 'on the map', mass_kg: row.mapped_kg, kind: 'mapped' },
    ...Object.entries(row.screened_kg).map(
      ([rule, mass_kg]): Part => ({ words: `screened: ${ruleWords(rule)}`, mass_kg, kind: 'screened' }),
    ),
    { words: 'outside the field', mass_kg: row.outside_field_kg, kind: 'lost' },
    { words: 'not cutting', mass_kg: row.not_cutting_kg, kind: 'lost' },
  ];
}

/** Class names that step through the tones of a kind, so that neighbours differ. */
function tonesOf(parts: readonly Part[]): string[] {
  const used = { mapped: 0, screened: 0, lost: 0 };
  return parts.map((part) => `${part.kind} tone-${used[part.kind]++ % 4}`);
}
