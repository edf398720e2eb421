/** Page 2 of a field report: what the scale says of the beam, and where every kilogram went. */
import type { CalibrationSummary, LoadSummary } from '../../result.ts';
import {
  type Block,
  type NotesBlock,
  type TableCell,
  type TableRow,
  type Text,
  TYPE_WIDTH,
} from '../document/document.ts';
import { loadPicture } from '../pictures/load-picture.ts';
import { grouped, scaleMass, scaleUnit, signed, type UnitSystem } from '../report/figures.ts';
import { COEFFICIENT_WORDS, MODEL_WORDS } from '../report/loads-section.ts';
import { capitalised, machineName, plainWords, type ReportContext } from '../report/report-context.ts';
import { machinesOf, type ReportField, type ReportMaterial } from './report-material.ts';

/** More calibrations than these have no room for a picture each. */
const MOST_PICTURED = 2;
/** More than these, of all calibrations together, are counted, not listed: `loads.html` has all. */
const MOST_LOADS = 28;
const PICTURE = { width: 186, height: 146 };

/** The calibrations that the field's weight rests on: verdict, loads, and what each model would cost. */
export function calibrationBlocks(field: ReportField, material: ReportMaterial): Block[] {
  const fits = fitsOf(field, material);
  const heading: Block = { kind: 'heading', level: 2, text: 'Calibration', aside: 'beam against scale' };
  if (fits.length === 0)
    return [
      heading,
      { kind: 'paragraph', text: 'Nothing was harvested here, so that there is nothing to calibrate.' },
    ];
  const isPictured = fits.length <= MOST_PICTURED;
  return [
    heading,
    verdicts(fits, material),
    ...(isPictured ? fits.flatMap((fit) => fitBlocks(fit, material, fits.length)) : []),
    ...priceBlocks(fits, material),
  ];
}

/** Calibrations of the crop by the machines that cut in the field. */
export function fitsOf(field: ReportField, material: ReportMaterial): CalibrationSummary[] {
  const machines = machinesOf(field, material);
  return material.result.summary.calibrations.filter(
    ({ crop, machine }) => crop === field.summary.crop && machines.includes(machine),
  );
}

/** A line for each calibration, and one for each load that does not fit. */
export function verdicts(fits: readonly CalibrationSummary[], context: ReportContext): NotesBlock {
  return {
    kind: 'notes',
    notes: fits.flatMap((fit) => [
      verdict(fit, context),
      ...fit.loads
        .filter(({ flagged }) => flagged)
        .map(({ ticket, why, used }) => ({
          state: 'look' as const,
          text: [
            { strong: `Ticket ${ticket} does not fit.` },
            ` ${why}${used ? ' It is still in the fit.' : ''}`,
          ],
        })),
    ]),
  };
}

function verdict(fit: CalibrationSummary, context: ReportContext): NotesBlock['notes'][number] {
  const who = fitName(fit, context);
  if (fit.model === 'carried_over')
    return {
      state: 'look',
      text: [{ strong: `${who}: carried over.` }, ' No load of this season; the gain is known from before.'],
    };
  if (fit.loads.length === 0)
    return {
      state: 'mend',
      text: [
        { strong: `${who}: not calibrated.` },
        ' No scale ticket was given, so the map shows the pattern, not the weight.',
      ],
    };
  const used = fit.loads.filter((load) => load.used).length;
  const error =
    fit.loo_rmse_pct === null
      ? ''
      : `; the fit predicts a load that it has not seen to ${grouped(fit.loo_rmse_pct, 1)} %`;
  return {
    state: used < fit.loads.length || fit.loo_rmse_pct === null ? 'look' : 'good',
    text: [{ strong: `${who}: ${used} of ${fit.loads.length} loads in the fit` }, `${error}.`],
  };
}

function fitName(fit: CalibrationSummary, context: ReportContext): string {
  const group = fit.group === undefined ? '' : `, ${fit.group}`;
  return `${capitalised(fit.crop)}, ${machineName(context, fit.machine)}${group}`;
}

function fitBlocks(fit: CalibrationSummary, material: ReportMaterial, fits: number): Block[] {
  if (fit.loads.length === 0) return [];
  const { system } = material;
  const table = loadTable(fit.loads, Math.floor(MOST_LOADS / fits), system);
  const heading: Block = {
    kind: 'heading',
    level: 3,
    text: fits > 1 ? fitName(fit, material) : 'Loads',
    aside: 'all of this machine and crop; on the dashed line beam and scale agree',
  };
  const picture: Block = {
    kind: 'figure',
    drawing: loadPicture(fit.loads, system, PICTURE.width, PICTURE.height),
    about: `Loads of ${fitName(fit, material)}: weight by the beam over weight on the scale`,
  };
  return [
    heading,
    {
      kind: 'columns',
      columns: [
        { share: TYPE_WIDTH - 22 - PICTURE.width, blocks: [table] },
        { share: PICTURE.width, blocks: [picture] },
      ],
    },
  ];
}

function loadTable(loads: readonly LoadSummary[], most: number, system: UnitSystem): Block {
  const unit = scaleUnit(system);
  // those that do not fit are shown whatever their number
  const shown = loads.filter(({ flagged }, k) => flagged || k < most);
  const rows: TableRow[] = shown.map((load) => ({
    cells: [
      { text: load.ticket, state: load.flagged ? 'look' : load.used ? 'good' : 'aside' },
      scaleMass(load.scale_kg, system).number,
      scaleMass(load.predicted_kg, system).number,
      signed(load.error_pct, 1),
      signed(load.loo_error_pct, 1),
    ],
    ...(load.used ? {} : { tone: 'aside' as const }),
  }));
  const rest = loads.length - shown.length;
  if (rest > 0)
    rows.push({ cells: [{ text: `and ${rest} more, in loads.html` }, '', '', '', ''], tone: 'aside' });
  return {
    kind: 'table',
    columns: [
      { head: 'ticket', holds: 'words' },
      { head: `scale, ${unit}`, holds: 'number' },
      { head: `beam, ${unit}`, holds: 'number' },
      { head: 'error, %', holds: 'number' },
      { head: 'left out, %', holds: 'number' },
    ],
    rows,
  };
}

/** More calibrations than these have no columns beside each other. */
const MOST_PRICED = 3;

/** What each model would cost with each machine's loads, and the coefficients of the ones that were taken. */
function priceBlocks(all: readonly CalibrationSummary[], context: ReportContext): Block[] {
  const fits = all.filter(({ loads, model }) => loads.length > 0 || model === 'carried_over');
  if (fits.length === 0) return [];
  const taken: Block = { kind: 'notes', notes: fits.map((fit) => ({ text: coefficients(fit, context) })) };
  if (fits.length > MOST_PRICED) return [{ kind: 'heading', level: 3, text: 'Models' }, taken];
  const models = [...new Set(fits.flatMap((fit) => pricesOf(fit).map(({ model }) => model)))];
  const named = (fit: CalibrationSummary, what: string) =>
    fits.length > 1 ? `${fitName(fit, context).replace(/^[^,]*, /, '')}: ${what}` : what;
  return [
    { kind: 'heading', level: 3, text: 'Model and its price', aside: 'in bold the one that was taken' },
    {
      kind: 'table',
      columns: [
        { head: 'error of a load, %', holds: 'words' },
        ...fits.flatMap((fit) => [
          { head: named(fit, 'in the fit'), holds: 'number' as const },
          { head: named(fit, 'left out'), holds: 'number' as const },
        ]),
      ],
      rows: models.map((model) => ({
        cells: [MODEL_WORDS[model] ?? plainWords(model), ...fits.flatMap((fit) => priceCells(fit, model))],
      })),
    },
    taken,
  ];
}

function pricesOf({ diagnostics, model, fit_rmse_pct, loo_rmse_pct }: CalibrationSummary) {
  const known = diagnostics?.models ?? [];
  return known.length > 0 ? known : [{ model, fit_rmse_pct, loo_rmse_pct }];
}

function priceCells(fit: CalibrationSummary, model: string): TableCell[] {
  const price = pricesOf(fit).find((one) => one.model === model);
  const stands = model === fit.model ? { strong: true as const } : {};
  return [price?.fit_rmse_pct, price?.loo_rmse_pct].map((pct) => ({ text: grouped(pct, 2), ...stands }));
}

function coefficients(fit: CalibrationSummary, context: ReportContext): Text {
  const shown = Object.entries(fit.coefficients).map(([name, held]) => {
    const error = fit.standard_errors[name];
    const text = error === undefined ? grouped(held, 4) : `${grouped(held, 4)} ± ${grouped(error, 4)}`;
    return `${COEFFICIENT_WORDS[name] ?? plainWords(name)} ${text}`;
  });
  const model = MODEL_WORDS[fit.model] ?? plainWords(fit.model);
  return [{ quiet: `${fitName(fit, context)}: ${model}. ${capitalised(shown.join('; '))}.` }];
}
