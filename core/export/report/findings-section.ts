/** The head of the report: how much grain, how sure, what to look at; and the way of the data in six figures. */
import type { CalibrationSummary, FieldSummary, LoadSummary, Summary } from '../../result.ts';
import { kgFromTonnes } from '../../units.ts';
import {
  areaPair,
  type Figure,
  type FigurePair,
  grouped,
  massPair,
  percent,
  type UnitSystem,
} from './figures.ts';
import { html, type Markup } from './markup.ts';
import {
  both,
  bushelOf,
  capitalised,
  fieldsByCrop,
  machineName,
  plainWords,
  type ReportContext,
  STATE_MARKS,
} from './report-context.ts';

export function findingsSection(context: ReportContext): Markup {
  const { calibrations } = context.result.summary;
  return html`<section class="findings" aria-label="What was found">
${cropLines(context)}
<ul class="plain judgement">
${calibrations.map((fit) => fitLine(fit, context))}
${calibrations.flatMap((fit) => fit.loads.filter((load) => load.flagged).map(loadLine))}
</ul>
</section>
${stageLine(context)}`;
}

/** One large line a crop: how much, from how much ground. */
function cropLines(context: ReportContext): Markup[] {
  return [...fieldsByCrop(context)].map(([crop, fields]) => {
    let mass_kg = 0;
    let area_ha = 0;
    for (const field of fields) {
      mass_kg += field.mass_std_kg;
      area_ha += field.area_ha;
    }
    const moistures = [...new Set(fields.map((field) => field.standard_moisture_pct))];
    const at = moistures.length === 1 ? `at ${moistures[0]} % moisture` : 'at standard moisture';
    const mass = withError(mass_kg, errorOfTotal(fields), bushelOf(context, crop), context.system);
    return html`<p class="headline"><span class="crop">${capitalised(crop)}</span> ${both(mass)} <span class="from">${at}, from</span> ${both(areaPair(area_ha, context.system))}</p>`;
  });
}

/**
 * Standard error of the total of fields of one crop, kg; null when a field has none. The fields share the error of the
 * calibration, which outweighs what each has of its own, so that errors are added, not their squares: on the safe side.
 */
function errorOfTotal(fields: readonly FieldSummary[]): number | null {
  let error_kg = 0;
  for (const { mean_yield_se_t_ha, area_ha } of fields) {
    if (mean_yield_se_t_ha === null) return null;
    error_kg += kgFromTonnes(mean_yield_se_t_ha * area_ha);
  }
  return error_kg;
}

function withError(
  mass_kg: number,
  error_kg: number | null,
  bushel_kg: number,
  system: UnitSystem,
): FigurePair {
  const mass = massPair(mass_kg, bushel_kg, system);
  if (error_kg === null) return mass;
  const error = massPair(error_kg, bushel_kg, system);
  const joined = ({ number, unit }: Figure, { number: error_number }: Figure) => ({
    number,
    unit: `± ${error_number} ${unit}`,
  });
  return { first: joined(mass.first, error.first), second: joined(mass.second, error.second) };
}

function fitLine(fit: CalibrationSummary, context: ReportContext): Markup {
  const who = `${capitalised(fit.crop)}, ${machineName(context, fit.machine)}${fit.group === undefined ? '' : `, ${fit.group}`}`;
  if (fit.loads.length === 0) {
    return html`<li>${STATE_MARKS.mend}<span><b>${who}: not calibrated.</b> No scale ticket was given, so the map shows the pattern, not the weight.</span></li>`;
  }
  const used = fit.loads.filter((load) => load.used).length;
  const error =
    fit.loo_rmse_pct === null
      ? ''
      : `; the fit predicts a load that it has not seen to ${grouped(fit.loo_rmse_pct, 1)} %`;
  const mark = used < fit.loads.length || fit.loo_rmse_pct === null ? STATE_MARKS.look : STATE_MARKS.good;
  return html`<li>${mark}<span><b>${who}: ${used} of ${fit.loads.length} loads in the fit</b>${error}.</span></li>`;
}

function loadLine(load: LoadSummary): Markup {
  const fate = load.used ? ' It is still in the fit.' : '';
  return html`<li>${STATE_MARKS.look}<span><b>Ticket ${load.ticket} does not fit.</b> ${load.why}${fate}</span></li>`;
}

/** Logs → Lag → Ground → Screened → Loads → Yield, one figure each. */
function stageLine(context: ReportContext): Markup {
  const { summary } = context.result;
  const tiles = [
    logsTile(summary),
    lagTile(summary),
    groundTile(context),
    screenedTile(summary),
    loadsTile(summary),
    yieldTile(context),
  ];
  return html`<ol class="stages" aria-label="The way of the data">${tiles}</ol>`;
}

function tile(name: string, shown: string, unit: string, below: string): Markup {
  return html`<li><span class="name">${name}</span><span class="figure">${shown}<span class="unit"> ${unit}</span></span><span class="below">${below}</span></li>`;
}

function logsTile(summary: Summary): Markup {
  let lines = 0;
  let damaged = 0;
  for (const input of summary.inputs) {
    lines += input.lines;
    for (const count of Object.values(input.damage)) damaged += count;
  }
  const files = summary.inputs.length === 1 ? '1 file' : `${summary.inputs.length} files`;
  return tile(
    'Logs',
    grouped(lines, 0),
    'lines',
    `${files}, ${damaged === 0 ? 'no' : grouped(damaged, 0)} lines damaged`,
  );
}

function lagTile(summary: Summary): Markup {
  const found = summary.lags.filter((lag) => lag.transport_s !== null);
  const shifts = (found.length > 0 ? found : summary.lags).map((lag) => lag.transport_s ?? lag.applied_s);
  if (shifts.length === 0) return tile('Lag', '–', 's', 'no flow to shift');
  const low = grouped(Math.min(...shifts), 1);
  const high = grouped(Math.max(...shifts), 1);
  const methods = [...new Set(summary.lags.map((lag) => plainWords(lag.method)))];
  return tile('Lag', low === high ? low : `${low} to ${high}`, 's', methods.join(', '));
}

function groundTile(context: ReportContext): Markup {
  let area_ha = 0;
  for (const field of context.result.summary.fields) area_ha += field.area_ha;
  const fields = context.result.summary.fields.length;
  const area = areaPair(area_ha, context.system).first;
  return tile('Ground', area.number, area.unit, fields === 1 ? '1 field' : `${fields} fields`);
}

function screenedTile(summary: Summary): Markup {
  let beam_kg = 0;
  let screened_kg = 0;
  for (const row of summary.mass_ledger) {
    beam_kg += row.beam_kg;
    for (const mass_kg of Object.values(row.screened_kg)) screened_kg += mass_kg;
  }
  if (!(beam_kg > 0)) return tile('Screened', '–', '', 'no grain');
  return tile(
    'Screened',
    percent(screened_kg / beam_kg).replace(' %', ''),
    '%',
    'of the grain; it counts in the totals',
  );
}

function loadsTile(summary: Summary): Markup {
  const loads = summary.calibrations.flatMap((fit) => fit.loads);
  if (loads.length === 0) return tile('Loads', 'none', '', 'not calibrated');
  const used = loads.filter((load) => load.used).length;
  const flagged = loads.filter((load) => load.flagged).length;
  return tile(
    'Loads',
    `${used} of ${loads.length}`,
    'in the fit',
    flagged === 0 ? 'none looks wrong' : `${flagged} to look at`,
  );
}

function yieldTile(context: ReportContext): Markup {
  const { fields } = context.result.summary;
  let mass_kg = 0;
  for (const field of fields) mass_kg += field.mass_std_kg;
  const crops = [...fieldsByCrop(context).keys()];
  const bushel_kg = crops.length === 1 ? bushelOf(context, crops[0]) : Number.NaN;
  const mass = massPair(mass_kg, bushel_kg, context.system).first;
  return tile(
    'Yield',
    mass.number,
    mass.unit,
    crops.length > 1 ? 'all crops, standard moisture' : 'standard moisture',
  );
}
