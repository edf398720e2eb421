/** One field: map, headline figures, classes with their histogram, what was screened, the lag. */
import type { FieldPoints, FieldSummary } from '../../result.ts';
import { tHaFromKgM2 } from '../../units.ts';
import { type Classes, classOf, roundClasses } from './colour-classes.ts';
import { fieldMap } from './field-map.ts';
import {
  areaPair,
  grouped,
  massPair,
  percent,
  scaleMass,
  scaleUnit,
  type YieldScale,
  yieldPair,
  yieldScale,
} from './figures.ts';
import { html, type Markup } from './markup.ts';
import { both, bushelOf, type ReportContext } from './report-context.ts';
import { markSample, ruleWords } from './rule-marks.ts';

export function fieldSection(field: FieldSummary, context: ReportContext): Markup {
  const at = context.result.points.findIndex((candidate) => candidate.field === field.name);
  const points: FieldPoints | undefined = context.result.points[at];
  const scale = yieldScale(context.system, bushelOf(context, field.crop));
  const classes = points ? classesOf(points, scale) : { limits: [], colours: [], digits: 0 };
  const map = points
    ? fieldMap(points, {
        classes,
        scale,
        system: context.system,
        widthOf: drawnWidth(context),
        outline: context.result.outlines[at],
      })
    : html`<p class="empty">No point of any log lies in this field.</p>`;
  return html`<section class="field">
<h2>${field.name} <span class="kind">${field.crop}</span></h2>
<div class="beside">
<figure>${map}</figure>
<div>${headline(field, context)}${points ? legend(points, classes, scale) : ''}${screened(field, points, context)}</div>
</div>
</section>
`;
}

/**
 * The header's width, of which a map shows what was fresh; the cut width where a log tells it, because such a header
 * may have been cutting with a part of itself.
 */
export function drawnWidth({ season }: ReportContext): (points: FieldPoints, row: number) => number {
  const isLogged = season.settings?.cut_width?.from === 'log';
  const widths_m = season.machines.map((machine) => {
    const isMapped = season.logs.some((log) => log.machine === machine.id && log.mapping !== undefined);
    return isLogged || isMapped ? undefined : machine.header.width_m;
  });
  return (points, row) => widths_m[points.machine[row]] ?? points.cut_width_m[row];
}

function headline(field: FieldSummary, context: ReportContext): Markup {
  const { system } = context;
  const bushel_kg = bushelOf(context, field.crop);
  const error =
    field.mean_yield_se_t_ha === null ? undefined : yieldPair(field.mean_yield_se_t_ha, bushel_kg, system);
  const mean = yieldPair(field.mean_yield_t_ha, bushel_kg, system);
  const uncertainty = error
    ? html`<span class="error">± ${error.first.number} ${error.first.unit} <span class="other">(± ${error.second.number} ${error.second.unit})</span>, one standard error</span>`
    : html`<span class="error">no standard error: too little to judge by</span>`;
  const moisture =
    field.moisture_pct === null ? 'not measured' : `${grouped(field.moisture_pct, 1)} % as cut`;
  return html`<dl class="figures">
<div class="main"><dt>Mean yield at ${field.standard_moisture_pct} % moisture</dt><dd>${both(mean)}${uncertainty}</dd></div>
<div><dt>Total at ${field.standard_moisture_pct} %</dt><dd>${both(massPair(field.mass_std_kg, bushel_kg, system))}</dd></div>
<div><dt>As harvested</dt><dd>${both({ first: scaleMass(field.mass_wet_kg, system), second: scaleMass(field.mass_wet_kg, system === 'us' ? 'metric' : 'us') })}</dd></div>
<div><dt>Area cut</dt><dd>${both(areaPair(field.area_ha, system))}</dd></div>
<div><dt>Moisture</dt><dd>${moisture}</dd></div>
</dl>`;
}

/** Yields of the kept points in shown units, NaN for the others, and the ground of each. */
export function keptColumns(
  points: FieldPoints,
  scale: YieldScale,
): { shown: Float64Array; area_m2: Float64Array } {
  const isKept = (row: number) => points.screened_by[row] === 0;
  return {
    shown: points.yield_kg_m2.map((kg_m2, row) =>
      isKept(row) ? scale.from(tHaFromKgM2(kg_m2)) : Number.NaN,
    ),
    area_m2: points.fresh_area_m2.map((m2, row) => (isKept(row) ? m2 : 0)),
  };
}

function classesOf(points: FieldPoints, scale: YieldScale): Classes {
  const { shown, area_m2 } = keptColumns(points, scale);
  return roundClasses(shown, area_m2);
}

/** The legend is the histogram: a row a class, highest first, its bar the share of the mapped ground. */
function legend(points: FieldPoints, classes: Classes, scale: YieldScale): Markup {
  const { shown, area_m2 } = keptColumns(points, scale);
  const areas = new Float64Array(classes.colours.length);
  let total = 0;
  for (const [row, amount] of shown.entries()) {
    const index = classOf(classes, amount);
    if (index < 0) continue;
    areas[index] += area_m2[row];
    total += area_m2[row];
  }
  if (!(total > 0)) return html``;
  const most = Math.max(...areas);
  const rows = Array.from(areas, (m2, index) => {
    const bar = `width:${((100 * m2) / most).toFixed(1)}%;background:${classes.colours[index]}`;
    return html`<tr><th scope="row">${classWords(classes, index)}</th><td class="bar"><span style="${bar}"></span></td><td>${percent(m2 / total)}</td></tr>`;
  }).reverse();
  return html`<table class="legend"><caption>Yield, ${scale.unit}: share of the mapped ground</caption><tbody>${rows}</tbody></table>`;
}

/** What stands for class `index`: `140 – 150`. */
export function classWords({ limits, digits }: Classes, index: number): string {
  if (limits.length === 0) return 'all';
  if (index === 0) return `under ${grouped(limits[0], digits)}`;
  if (index === limits.length) return `${grouped(limits[index - 1], digits)} and over`;
  return `${grouped(limits[index - 1], digits)} – ${grouped(limits[index], digits)}`;
}

function screened(field: FieldSummary, points: FieldPoints | undefined, context: ReportContext): Markup {
  const { total, kept, screened: counts } = field.points;
  const masses = massesByRule(points, context, field.name);
  const rows = Object.entries(counts)
    .filter(([, count]) => count > 0)
    .map(([rule, count]) => {
      const mass = scaleMass(masses.get(rule) ?? null, context.system).number;
      return html`<tr><th scope="row">${markSample(rule)}${ruleWords(rule)}</th><td>${grouped(count, 0)}</td><td>${mass}</td></tr>`;
    });
  const keptMass = scaleMass(masses.get('kept') ?? null, context.system).number;
  const keptRow = html`<tr><th scope="row">kept on the map</th><td>${grouped(kept, 0)}</td><td>${keptMass}</td></tr>`;
  return html`<table class="screened"><caption>${grouped(total, 0)} points: kept and screened</caption>
<thead><tr><th></th><th scope="col">points</th><th scope="col">${scaleUnit(context.system)}</th></tr></thead><tbody>${keptRow}${rows}</tbody></table>`;
}

/** Mass of the field by rule, from the ledger, over all machines. */
function massesByRule(
  points: FieldPoints | undefined,
  context: ReportContext,
  field: string,
): Map<string, number> {
  const masses = new Map<string, number>();
  if (!points) return masses;
  const add = (rule: string, mass_kg: number) => masses.set(rule, (masses.get(rule) ?? 0) + mass_kg);
  for (const row of context.result.summary.mass_ledger.filter((candidate) => candidate.field === field)) {
    add('kept', row.mapped_kg);
    add('not_cutting', row.not_cutting_kg);
    add('outside_field', row.outside_field_kg);
    for (const [rule, mass_kg] of Object.entries(row.screened_kg)) add(rule, mass_kg);
  }
  return masses;
}
