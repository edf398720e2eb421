/** Calibration: each load against the scale, as a table and as a picture. */
import type { CalibrationSummary, LoadSummary } from '../../result.ts';
import { KG_PER_LB } from '../../units.ts';
import { roundStep } from './colour-classes.ts';
import { grouped, scaleMass, scaleUnit, signed, type UnitSystem } from './figures.ts';
import { html, type Markup } from './markup.ts';
import { capitalised, machineName, plainWords, type ReportContext, STATE_MARKS } from './report-context.ts';

export function loadsSection(context: ReportContext): Markup {
  const fits = context.result.summary.calibrations;
  if (fits.length === 0) return html``;
  return html`<section><h2>Loads <span class="kind">beam against scale</span></h2>${fits.map((fit, index) => titledBlock(fit, context, index === 0 ? CAPTION : ''))}</section>
`;
}

const CAPTION = html`<figcaption>Each load: weight by the beam over weight on the scale. On the line both agree.</figcaption>`;

function titledBlock(fit: CalibrationSummary, context: ReportContext, caption: Markup | string): Markup {
  const title = html`<h3>${capitalised(fit.crop)}, ${machineName(context, fit.machine)}${fit.group === undefined ? '' : `, ${fit.group}`}</h3>`;
  return html`${title}${fitBlock(fit, context, caption)}`;
}

/** One calibration: its loads as a table and a picture, and the figures of its fit. */
export function fitBlock(fit: CalibrationSummary, context: ReportContext, caption: Markup | string): Markup {
  const { system } = context;
  if (fit.loads.length === 0) {
    if (fit.model === 'carried_over') return fitFigures(fit);
    return html`<p>No scale ticket: not calibrated. The beam's volume was taken as it is (shape factor 1) with a published bulk density. Weigh a few loads, and give their tickets.</p>`;
  }
  return html`<div class="beside">
<div>${loadTable(fit, system)}${fitFigures(fit)}</div>
<figure>${scatter(fit.loads, system)}${caption}</figure>
</div>`;
}

function loadTable(fit: CalibrationSummary, system: UnitSystem): Markup {
  const unit = scaleUnit(system);
  const widest = Math.max(
    1,
    ...fit.loads.filter((load) => !load.flagged).map((load) => Math.abs(load.error_pct ?? 0)),
  );
  const rows = fit.loads.map((load) => {
    const why = load.why === '' ? '' : html`<tr class="why"><td></td><td colspan="6">${load.why}</td></tr>`;
    return html`<tr class="${load.used ? 'used' : 'unused'}"><th scope="row">${stateOf(load)}${load.ticket}</th><td>${scaleMass(load.scale_kg, system).number}</td><td>${scaleMass(load.predicted_kg, system).number}</td><td>${signed(load.error_pct, 1)}</td><td class="bar">${errorBar(load.error_pct, widest)}</td><td>${signed(load.loo_error_pct, 1)}</td><td>${signed(load.studentised_residual, 1)}</td></tr>${why}`;
  });
  return html`<table class="loads"><thead><tr><th scope="col">ticket</th><th scope="col">scale, ${unit}</th><th scope="col">beam, ${unit}</th><th scope="col" colspan="2">error, %</th><th scope="col"><abbr title="error of the load when the fit is made without it">left out, %</abbr></th><th scope="col"><abbr title="scale minus beam over its own standard error; beyond 3 is suspicious">residual</abbr></th></tr></thead><tbody>${rows}</tbody></table>
<p class="key">${STATE_MARKS.good} in the fit ${STATE_MARKS.look} look at it ${STATE_MARKS.aside} set aside</p>`;
}

function stateOf(load: LoadSummary): Markup {
  if (load.flagged) return STATE_MARKS.look;
  return load.used ? STATE_MARKS.good : STATE_MARKS.aside;
}

/** A bar from the middle, left for too little, right for too much; clipped at the widest honest error. */
function errorBar(error_pct: number | null, widest: number): Markup {
  if (error_pct === null) return html``;
  const reach = Math.min(Math.abs(error_pct) / widest, 1) * 40;
  const start = error_pct < 0 ? 40 - reach : 40;
  const isCut = Math.abs(error_pct) > widest;
  const tip = isCut
    ? html`<path class="tip" d="${error_pct < 0 ? 'M6 0l-6 5 6 5z' : 'M74 0l6 5-6 5z'}"/>`
    : '';
  return html`<svg viewBox="0 0 80 10" width="80" height="10" aria-hidden="true"><path class="zero" d="M40 0v10"/><rect x="${start.toFixed(1)}" y="2.5" width="${Math.max(reach, 0.8).toFixed(1)}" height="5"/>${tip}</svg>`;
}

export const MODEL_WORDS: Readonly<Record<string, string>> = {
  gain: 'gain through the origin',
  gain_zero: 'gain and zero error',
  gain_curvature: 'gain that changes with heap height',
  gain_moisture: 'gain that changes with moisture',
  gain_test_weight: 'gain that changes with test weight',
  carried_over: 'gain carried over',
  uncalibrated: 'not calibrated',
};
export const COEFFICIENT_WORDS: Readonly<Record<string, string>> = {
  k: 'gain, scale over beam',
  zero_kg_s: 'zero error, kg/s',
  curvature: 'its change, empty to full pitch',
  moisture: 'its change, dry to all water',
};

function fitFigures(fit: CalibrationSummary): Markup {
  const coefficients = Object.entries(fit.coefficients).map(([name, held]) => {
    const error = fit.standard_errors[name];
    const text = error === undefined ? grouped(held, 4) : `${grouped(held, 4)} ± ${grouped(error, 4)}`;
    return html`<div><dt>${COEFFICIENT_WORDS[name] ?? plainWords(name)}</dt><dd>${text}</dd></div>`;
  });
  return html`<dl class="row">
<div><dt>model</dt><dd>${MODEL_WORDS[fit.model] ?? plainWords(fit.model)}</dd></div>${coefficients}
<div><dt>r²</dt><dd>${agreement(fit.r2)}</dd></div>
<div><dt>error of the fit</dt><dd>${grouped(fit.fit_rmse_pct, 2)} %</dd></div>
<div><dt>error left out</dt><dd>${grouped(fit.loo_rmse_pct, 2)} %</dd></div>
</dl>`;
}

/** r² with as many digits as it takes to tell it from 1; at most six. */
function agreement(r2: number | null): string {
  const digits = r2 === null ? 4 : Math.min(6, Math.max(4, Math.ceil(-Math.log10(1 - r2)) + 1));
  return grouped(r2, digits);
}

const PLOT = { size: 300, left: 58, bottom: 34, top: 10, right: 24 };

function scatter(loads: readonly LoadSummary[], system: UnitSystem): Markup {
  const kg_per_unit = system === 'us' ? KG_PER_LB : 1;
  const shown = loads.filter((load) => load.predicted_kg !== null);
  const most = Math.max(...shown.flatMap((load) => [load.scale_kg, load.predicted_kg ?? 0])) / kg_per_unit;
  const step = roundStep(most / 5);
  const top = Math.ceil(most / step) * step;
  const x = (kg: number) => PLOT.left + (kg / kg_per_unit / top) * (PLOT.size - PLOT.left - PLOT.right);
  const y = (kg: number) =>
    PLOT.size - PLOT.bottom - (kg / kg_per_unit / top) * (PLOT.size - PLOT.bottom - PLOT.top);
  const ticks = Array.from({ length: Math.round(top / step) + 1 }, (_, index) => index * step * kg_per_unit);
  const unit = scaleUnit(system);
  return html`<svg class="plot" viewBox="0 0 ${PLOT.size} ${PLOT.size}" role="img" aria-label="Weight by the beam over weight on the scale, ${unit}">
${ticks.map((kg) => html`<path class="grid" d="M${x(kg).toFixed(1)} ${y(0).toFixed(1)}V${PLOT.top}M${PLOT.left} ${y(kg).toFixed(1)}H${PLOT.size - PLOT.right}"/><text x="${PLOT.left - 6}" y="${(y(kg) + 3.5).toFixed(1)}" text-anchor="end">${grouped(kg / kg_per_unit, 0)}</text>`)}
${ticks.filter((_, index) => index % 2 === 0).map((kg) => html`<text x="${x(kg).toFixed(1)}" y="${PLOT.size - PLOT.bottom + 14}" text-anchor="middle">${grouped(kg / kg_per_unit, 0)}</text>`)}
<path class="agree" d="M${x(0).toFixed(1)} ${y(0).toFixed(1)}L${x(top * kg_per_unit).toFixed(1)} ${y(top * kg_per_unit).toFixed(1)}"/>
${shown.map((load) => dot(load, x(load.scale_kg), y(load.predicted_kg ?? 0)))}
<text x="${PLOT.size - PLOT.right}" y="${PLOT.size - 4}" text-anchor="end">scale, ${unit}</text><text x="${PLOT.left + 6}" y="${PLOT.top + 10}">beam, ${unit}</text></svg>`;
}

function dot(load: LoadSummary, x: number, y: number): Markup {
  const at = `${x.toFixed(1)} ${y.toFixed(1)}`;
  if (load.flagged) {
    // on the side away from the line, on which the other loads lie, as far as the plot is wide
    const isAbove = (load.predicted_kg ?? 0) > load.scale_kg;
    const isLeft = isAbove ? x > PLOT.left + 50 : x > PLOT.size - 70;
    return html`<path class="flagged" d="M${at}m0-6l5.5 10h-11z"/><text class="flagged" x="${(isLeft ? x - 10 : x + 10).toFixed(1)}" y="${(y + 4).toFixed(1)}" text-anchor="${isLeft ? 'end' : 'start'}">${load.ticket}</text>`;
  }
  return html`<circle class="${load.used ? 'used' : 'unused'}" cx="${x.toFixed(1)}" cy="${y.toFixed(1)}" r="4"><title>Ticket ${load.ticket}</title></circle>`;
}
