/**
 * The load report: one page a machine and crop, to print and keep with the tickets. Plot and table of its loads, what the fit
 * is worth, and what it may and may not be used for. Needs nothing but itself, like the season's report.
 */
import type { CalibrationDiagnostics, ResidualSlope } from '../../calibration-result.ts';
import type { Notice } from '../../errors.ts';
import type { CalibrationSummary, FieldSummary, SeasonResult } from '../../result.ts';
import type { Season } from '../../season.ts';
import { ABSENT, grouped, percent, scaleMass, scaleUnit } from './figures.ts';
import { COEFFICIENT_WORDS, fitBlock, MODEL_WORDS } from './loads-section.ts';
import { html, type Markup } from './markup.ts';
import { pageHead } from './page-head.ts';
import { capitalised, machineName, plainWords, type ReportContext } from './report-context.ts';

/** The text of `loads.html`, a piece a page. */
export function* loadReportPieces(
  season: Season,
  result: SeasonResult,
  notices: readonly Notice[],
): Generator<string> {
  const context: ReportContext = { season, result, notices, system: season.units ?? 'metric' };
  yield pageHead(context, { kind: 'Load report', title: `${season.name}: load report` }).text;
  const fits = result.summary.calibrations;
  if (fits.length === 0)
    yield html`<section><p>Nothing was harvested, so that there is nothing to calibrate.</p></section>`.text;
  for (const fit of fits) yield fitPage(fit, context).text;
  yield '</main>\n</body>\n</html>\n';
}

function fitPage(fit: CalibrationSummary, context: ReportContext): Markup {
  const { diagnostics } = fit;
  return html`<section class="load-page"><h2>${capitalised(fit.crop)}, ${machineName(context, fit.machine)}${fit.group === undefined ? '' : `, ${fit.group}`} <span class="kind">beam against scale</span></h2>
${fitBlock(fit, context, html`<figcaption>Each load: weight by the beam over weight on the scale. On the line both agree.</figcaption>`)}
${fit.loads.length > 0 ? detailTable(fit, context) : ''}
${diagnostics === undefined ? '' : worth(fit, diagnostics)}
${totals(fit, context)}
${statement(fit)}
</section>
`;
}

function detailTable(fit: CalibrationSummary, { system }: ReportContext): Markup {
  const rows = fit.loads.map((load) => {
    const expected = load.expected_95_kg;
    const interval =
      expected == null
        ? ABSENT
        : `${scaleMass(expected[0], system).number} to ${scaleMass(expected[1], system).number}`;
    return html`<tr class="${load.used ? 'used' : 'unused'}"><th scope="row">${load.ticket}</th><td>${interval}</td><td>${grouped(load.mean_flow_kg_s, 2)}</td><td>${grouped(load.moisture_pct ?? null, 1)}</td><td>${grouped(load.test_weight_kg_hl ?? null, 1)}</td><td>${grouped(load.leverage, 2)}</td><td>${grouped(load.cooks_distance, 2)}</td></tr>`;
  });
  return html`<table><caption>What the other loads expect of each, and how much each weighs in the fit</caption><thead><tr><th scope="col">ticket</th><th scope="col">expected, ${scaleUnit(system)} (95 %)</th><th scope="col">flow while running, kg/s</th><th scope="col">moisture, %</th><th scope="col">test weight, kg/hL</th><th scope="col">leverage</th><th scope="col">Cook's distance</th></tr></thead><tbody>${rows}</tbody></table>`;
}

function worth(fit: CalibrationSummary, found: CalibrationDiagnostics): Markup {
  const intervals = Object.entries(found.confidence_95).map(
    ([name, [low, high]]) =>
      html`<div><dt>${COEFFICIENT_WORDS[name] ?? plainWords(name)}, 95 %</dt><dd>${grouped(low, 4)} to ${grouped(high, 4)}</dd></div>`,
  );
  return html`<dl class="row">${intervals}
<div><dt>a new load, 95 %</dt><dd>± ${grouped(found.prediction_95_pct, 1)} %</dd></div>
<div><dt>gain by the middle of the ratios</dt><dd>${grouped(found.median_ratio, 4)}</dd></div>
<div><dt>gain by the Huber estimate</dt><dd>${grouped(found.huber_k, 4)}</dd></div>
</dl>
<ul class="plain">${findings(fit, found).map((sentence) => html`<li>${sentence}</li>`)}</ul>`;
}

function findings(fit: CalibrationSummary, found: CalibrationDiagnostics): string[] {
  const { models, covered_flow_kg_s: covered, enough_loads, next_flow_kg_s, prior } = found;
  const sentences: string[] = [];
  if (models.length > 1) {
    const prices = models.map(
      ({ model, loo_rmse_pct }) => `${MODEL_WORDS[model] ?? plainWords(model)} ${grouped(loo_rmse_pct, 2)} %`,
    );
    const choice =
      found.recommended_model === fit.model
        ? ''
        : ` Recommended is ${MODEL_WORDS[found.recommended_model ?? ''] ?? 'none'}.`;
    sentences.push(`Error of a load that is left out: ${prices.join(', ')}.${choice}`);
  }
  if (prior !== null)
    sentences.push(
      `A gain of ${grouped(prior.factor, 4)} ± ${grouped(prior.se_pct, 1)} % was known beforehand (${prior.from}) and counts as one load more.`,
    );
  if (covered !== null)
    sentences.push(
      `The loads speak for flows from ${grouped(covered[0], 1)} to ${grouped(covered[1], 1)} kg/s; ${grouped(found.outside_points_pct, 0)} % of the points, with ${grouped(found.outside_grain_pct, 0)} % of the grain, lie outside.`,
    );
  for (const slope of found.residual_slopes) if (slope.p < TELLING_P) sentences.push(slopeSentence(slope));
  const [now, next] = enough_loads;
  if (now !== undefined && next !== undefined)
    sentences.push(
      `With ${now.loads} loads a total that no scale weighs is known to ± ${grouped(now.total_se_pct, 2)} % (one standard error, of the calibration), with one more at ${grouped(next_flow_kg_s, 1)} kg/s to ± ${grouped(next.total_se_pct, 2)} %, with ${enough_loads.length - 1} more to ± ${grouped(enough_loads[enough_loads.length - 1].total_se_pct, 2)} %.`,
    );
  return sentences;
}

/** Slopes below this two-sided p are worth a sentence. */
const TELLING_P = 0.05;

const SLOPE_WORDS: Readonly<Record<ResidualSlope['against'], string>> = {
  time_d: 'day of the season',
  flow_kg_s: 'kg/s of flow',
  moisture_pct: 'point of moisture',
  test_weight_kg_hl: 'kg/hL of test weight',
};

function slopeSentence({ against, slope_pct, se_pct }: ResidualSlope): string {
  const much = `${grouped(Math.abs(slope_pct), 2)} % ${slope_pct > 0 ? 'more' : 'less'}`;
  return `The scale says ${much} than the beam for each ${SLOPE_WORDS[against]} more (± ${grouped(se_pct, 2)}): beyond chance.`;
}

function totals(fit: CalibrationSummary, context: ReportContext): Markup {
  const fields = context.result.summary.fields.filter((field) => field.crop === fit.crop);
  if (fields.length === 0) return html``;
  const unit = scaleUnit(context.system);
  const rows = fields.map((field) => totalRow(field, context));
  return html`<table><caption>Totals of the fields of this crop, at standard moisture</caption><thead><tr><th scope="col">field</th><th scope="col">total, ${unit}</th><th scope="col">95 %, ${unit}</th><th scope="col">settled at</th></tr></thead><tbody>${rows}</tbody></table>`;
}

function totalRow(field: FieldSummary, { system }: ReportContext): Markup {
  const interval = field.uncertainty?.mass_std_95_kg;
  const shown =
    interval == null
      ? ABSENT
      : `${scaleMass(interval[0], system).number} to ${scaleMass(interval[1], system).number}`;
  const settled =
    field.reconciled === undefined
      ? ABSENT
      : `${scaleMass(field.reconciled.settlement_kg, system).number} (${field.reconciled.fields.join(', ')}: ${percent(field.reconciled.factor - 1)} moved)`;
  return html`<tr><th scope="row">${field.name}</th><td>${scaleMass(field.mass_std_kg, system).number}</td><td>${shown}</td><td>${settled}</td></tr>`;
}

/** Loads from which a statement about the error of single loads holds water. */
const ENOUGH_TO_JUDGE = 4;

function statement(fit: CalibrationSummary): Markup {
  const used = fit.loads.filter((load) => load.used).length;
  const can =
    used === 0
      ? 'The pattern within a field: where it yields more and where less.'
      : used < ENOUGH_TO_JUDGE
        ? 'The pattern within a field, and totals as a rough guide: so few loads cannot show which of them is wrong.'
        : 'The pattern within a field; comparing fields and strips of this crop cut by this machine this season; totals within the intervals above.';
  return html`<div class="uses"><div><h3>What this can be used for</h3><p>${can}</p></div>
<div><h3>What it cannot</h3><p>Selling grain: it is not legal for trade; settle on a certified scale. Another crop, another machine, another season, or flows outside those covered, without weighing loads there. It is only as good as the scale and the moisture meter that it rests on.</p></div></div>`;
}
