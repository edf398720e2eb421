/** The season report: all fields on a few pages: totals, maps beside each other, calibrations, ledger, provenance. */
import { shownText } from '../../shown-text.ts';
import {
  type Block,
  COLUMN_GAP,
  type ReportDocument,
  type TableRow,
  TYPE_WIDTH,
} from '../document/document.ts';
import { histogramPicture, legendStrip } from '../pictures/legend-picture.ts';
import { smallMapPicture } from '../pictures/map-picture.ts';
import type { Classes } from '../report/colour-classes.ts';
import { grouped, percent, scaleMass, scaleUnit, yieldPair } from '../report/figures.ts';
import { MODEL_WORDS } from '../report/loads-section.ts';
import { harvestDays } from '../report/page-head.ts';
import { capitalised, machineName, plainWords } from '../report/report-context.ts';
import { verdicts } from './calibration-blocks.ts';
import { cropBlocks, fieldsOfCrops } from './crop-totals.ts';
import { ESTIMATE, MOST_TITLE } from './field-report.ts';
import { ledgerBlocks } from './ledger-blocks.ts';
import {
  cautionBlocks,
  comparisonBlocks,
  healthBlocks,
  noticeBlocks,
  provenanceBlocks,
  stateBlocks,
} from './record-blocks.ts';
import {
  classShares,
  lastCut_unix_s,
  mapOfField,
  type ReportField,
  type ReportMaterial,
  reportFields,
  sharedClasses,
} from './report-material.ts';
import { words } from './totals-blocks.ts';

/** Height of a small map over its width. */
const MAP_SHAPE = 0.8;
/** Pages of maps have no end otherwise: fields beyond these stand in the table only. */
const MOST_MAPS = 60;

/** The report over all fields of the result: totals and maps by crop, then what they rest on. */
export function seasonReport(material: ReportMaterial): ReportDocument {
  const { season, result } = material;
  const fields = reportFields(material);
  const crops = [...fieldsOfCrops(fields)];
  const machines = season.machines.map(({ id }) => id);
  const counted = fields.length === 1 ? '1 field' : `${fields.length} fields`;
  const ledger = result.summary.mass_ledger;
  return {
    kind: 'Season report',
    title: shownText(season.name, MOST_TITLE),
    below: [`${counted}, ${harvestDays(result)}`, ...(season.grower === undefined ? [] : [season.grower])],
    beside: ESTIMATE,
    foot: `${season.name}: season report. Estimate, not legal for trade.`,
    generated_by: result.summary.generated_by,
    dated_unix_s: lastCut_unix_s(result.points, result.epoch_utc_s),
    pages: [
      crops.flatMap(([crop, ofCrop]) => [
        ...cropBlocks(crop, ofCrop, material),
        ...mapBlocks(crop, ofCrop, material),
      ]),
      [
        ...calibrationTable(material),
        ...ledgerBlocks(ledger, material),
        ...fieldLedger(material),
        ...comparisonBlocks(material.comparisons),
        ...stateBlocks(healthBlocks(machines, material), noticeBlocks(material)),
        ...cautionBlocks(),
        ...provenanceBlocks(material),
      ],
    ],
  };
}

/** The maps of a crop in rows, all in the same colours. */
function mapBlocks(crop: string, fields: readonly ReportField[], material: ReportMaterial): Block[] {
  const classes = sharedClasses(fields);
  const { unit } = fields[0].scale;
  if (fields.length === 1) return loneMap(fields[0], classes, material);
  const across = fields.length <= 2 ? 2 : 3;
  const width = (TYPE_WIDTH - COLUMN_GAP * (across - 1)) / across;
  const shown = fields.slice(0, MOST_MAPS);
  const aside = fields.length > 1 ? 'in the same colours, each to its own scale' : undefined;
  const blocks: Block[] = [
    { kind: 'heading', level: 3, text: `Yield, ${unit}`, ...(aside && { aside }) },
    {
      kind: 'figure',
      drawing: legendStrip({ classes, unit, width: TYPE_WIDTH }),
      about: `Legend of the maps of ${crop}, ${unit}`,
      keepsWithNext: true,
    },
  ];
  for (let from = 0; from < shown.length; from += across) {
    const row = shown.slice(from, from + across);
    const columns = row.map((field) => ({ share: 1, blocks: smallMap(field, classes, width, material) }));
    while (columns.length < across) columns.push({ share: 1, blocks: [] });
    blocks.push({ kind: 'columns', columns });
  }
  if (fields.length > shown.length)
    blocks.push({
      kind: 'paragraph',
      tone: 'quiet',
      text: `The maps of ${fields.length - shown.length} more fields stand in their own reports.`,
    });
  return blocks;
}

/** The map of a crop's only field, with its legend beside it. */
function loneMap(field: ReportField, classes: Classes, material: ReportMaterial): Block[] {
  const width = (TYPE_WIDTH - COLUMN_GAP) / 2;
  const legend: Block[] = [
    { kind: 'heading', level: 3, text: `Yield, ${field.scale.unit}`, aside: 'share of the ground' },
    {
      kind: 'figure',
      drawing: histogramPicture(classes, classShares(field, classes), width),
      about: `Legend and histogram of the map of ${field.summary.name}, ${field.scale.unit}`,
    },
  ];
  const map = smallMap(field, classes, width, material);
  return [
    {
      kind: 'columns',
      columns: [
        { share: 1, blocks: map },
        { share: 1, blocks: legend },
      ],
    },
  ];
}

function smallMap(field: ReportField, classes: Classes, width: number, material: ReportMaterial): Block[] {
  const { summary, bushel_kg } = field;
  const mean = words(yieldPair(summary.mean_yield_t_ha, bushel_kg, material.system).first);
  const subject = mapOfField(field, classes, material);
  if (subject === undefined)
    return [
      { kind: 'heading', level: 3, text: summary.name },
      { kind: 'paragraph', tone: 'quiet', text: 'No ground was cut in this field.' },
    ];
  return [
    {
      kind: 'figure',
      drawing: smallMapPicture(subject, width, MAP_SHAPE * width),
      about: `Yield map of ${summary.name}, ${field.scale.unit}`,
      caption: [{ strong: summary.name }, `  ${mean}`],
    },
  ];
}

function calibrationTable(material: ReportMaterial): Block[] {
  const fits = material.result.summary.calibrations;
  if (fits.length === 0) return [];
  const rows = fits.map(
    (fit): TableRow => ({
      cells: [
        `${capitalised(fit.crop)}${fit.group === undefined ? '' : `, ${fit.group}`}`,
        machineName(material, fit.machine),
        MODEL_WORDS[fit.model] ?? plainWords(fit.model),
        `${fit.loads.filter(({ used }) => used).length} of ${fit.loads.length}`,
        grouped(fit.fit_rmse_pct, 2),
        grouped(fit.loo_rmse_pct, 2),
      ],
    }),
  );
  return [
    { kind: 'heading', level: 2, text: 'Calibration', aside: 'beam against scale' },
    verdicts(fits, material),
    {
      kind: 'table',
      columns: [
        { head: 'crop', holds: 'words' },
        { head: 'machine', holds: 'words' },
        { head: 'model', holds: 'words' },
        { head: 'loads in the fit', holds: 'number' },
        { head: 'error of the fit, %', holds: 'number' },
        { head: 'left out, %', holds: 'number' },
      ],
      rows,
    },
  ];
}

/** What became of the grain of each field and machine; the sums stand in the ledger. */
function fieldLedger(material: ReportMaterial): Block[] {
  const rows = material.result.summary.mass_ledger;
  if (rows.length < 2) return [];
  const { system } = material;
  return [
    {
      kind: 'table',
      caption: 'The same by field and machine',
      columns: [
        { head: '', holds: 'words' },
        { head: '', holds: 'words' },
        { head: `beam, ${scaleUnit(system)}`, holds: 'number' },
        { head: 'on the map', holds: 'number' },
        { head: 'screened', holds: 'number' },
        { head: 'outside', holds: 'number' },
        { head: 'not cutting', holds: 'number' },
      ],
      rows: rows.map((row) => {
        const screened_kg = Object.values(row.screened_kg).reduce((sum, mass_kg) => sum + mass_kg, 0);
        const share = (mass_kg: number) => (row.beam_kg > 0 ? percent(mass_kg / row.beam_kg) : '–');
        return {
          cells: [
            row.field,
            machineName(material, row.machine),
            scaleMass(row.beam_kg, system).number,
            share(row.mapped_kg),
            share(screened_kg),
            share(row.outside_field_kg),
            share(row.not_cutting_kg),
          ],
        };
      }),
    },
  ];
}
