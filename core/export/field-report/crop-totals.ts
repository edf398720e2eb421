/** Totals of the fields of one crop: large figures, and a row a field. */
import type { Interval95 } from '../../calibration-result.ts';
import type { Block, TableRow } from '../document/document.ts';
import { ABSENT, areaPair, grouped, massPair, yieldPair } from '../report/figures.ts';
import { capitalised } from '../report/report-context.ts';
import { sumOf } from './ledger-blocks.ts';
import type { ReportField, ReportMaterial } from './report-material.ts';
import { keyFigures, withMargin } from './totals-blocks.ts';

/** The fields by crop, in the order of the season. */
export function fieldsOfCrops(fields: readonly ReportField[]): Map<string, ReportField[]> {
  const crops = new Map<string, ReportField[]>();
  for (const field of fields)
    crops.set(field.summary.crop, [...(crops.get(field.summary.crop) ?? []), field]);
  return crops;
}

/** A crop's figures and the table of its fields; of a single field the figures say all. */
export function cropBlocks(
  crop: string,
  fields: readonly ReportField[],
  { system }: ReportMaterial,
): Block[] {
  const isOne = fields.length === 1;
  const bushel_kg = fields[0].bushel_kg;
  const area_ha = sumOf(fields, ({ summary }) => summary.area_ha);
  const mass_kg = sumOf(fields, ({ summary }) => summary.mass_std_kg);
  const interval = sumOfIntervals(fields);
  const mass = (kg: number) => massPair(kg, bushel_kg, system);
  const rate = yieldPair(area_ha > 0 ? mass_kg / 1000 / area_ha : null, bushel_kg, system);
  const area = areaPair(area_ha, system);
  return [
    {
      kind: 'heading',
      level: 2,
      text: capitalised(crop),
      aside: isOne ? fields[0].summary.name : `${fields.length} fields`,
    },
    {
      kind: 'key_figures',
      figures: isOne
        ? keyFigures(fields[0], system)
        : [
            {
              name: `Total at ${moistureOf(fields)}${interval === undefined ? '' : ', ± 95 %'}`,
              ...withMargin(mass(mass_kg), interval, mass),
            },
            { name: 'Mean yield', figure: rate.first, below: `${rate.second.number} ${rate.second.unit}` },
            { name: 'Area cut', figure: area.first, below: `${area.second.number} ${area.second.unit}` },
          ],
    },
    ...(isOne ? [] : [fieldTable(fields, { mass_kg, area_ha, interval }, system)]),
  ];
}

/**
 * 95 % interval of the total of fields; none where a field has none. Fields share the error of the calibration, which outweighs
 * what each has of its own, so that half widths are added, not their squares: on the safe side.
 */
function sumOfIntervals(fields: readonly ReportField[]): Interval95 | undefined {
  let [low_kg, high_kg] = [0, 0];
  for (const { summary } of fields) {
    const ends = summary.uncertainty?.mass_std_95_kg;
    if (ends == null) return undefined;
    low_kg += ends[0];
    high_kg += ends[1];
  }
  return [low_kg, high_kg];
}

function moistureOf(fields: readonly ReportField[]): string {
  const moistures = [...new Set(fields.map(({ summary }) => summary.standard_moisture_pct))];
  return moistures.length === 1 ? `${moistures[0]} % moisture` : 'standard moisture';
}

interface CropTotal {
  readonly mass_kg: number;
  readonly area_ha: number;
  readonly interval: Interval95 | undefined;
}

function fieldTable(
  fields: readonly ReportField[],
  total: CropTotal,
  system: ReportMaterial['system'],
): Block {
  const bushel_kg = fields[0].bushel_kg;
  const mass = (kg: number) => massPair(kg, bushel_kg, system);
  const half = (ends: Interval95 | null | undefined) =>
    ends == null ? ABSENT : `± ${mass((ends[1] - ends[0]) / 2).first.number}`;
  const units = { mass: mass(0).first.unit, rate: yieldPair(0, bushel_kg, system).first.unit };
  const rows = fields.map(
    ({ summary }): TableRow => ({
      cells: [
        summary.name,
        areaPair(summary.area_ha, system).first.number,
        yieldPair(summary.mean_yield_t_ha, bushel_kg, system).first.number,
        mass(summary.mass_std_kg).first.number,
        half(summary.uncertainty?.mass_std_95_kg),
        mass(summary.mass_std_kg).second.number,
        grouped(summary.moisture_pct, 1),
      ],
    }),
  );
  if (fields.length > 1)
    rows.push({
      cells: [
        'together',
        areaPair(total.area_ha, system).first.number,
        yieldPair(total.area_ha > 0 ? total.mass_kg / 1000 / total.area_ha : null, bushel_kg, system).first
          .number,
        mass(total.mass_kg).first.number,
        half(total.interval),
        mass(total.mass_kg).second.number,
        '',
      ],
      tone: 'total',
    });
  return {
    kind: 'table',
    columns: [
      { head: 'field', holds: 'words' },
      { head: `area, ${areaPair(0, system).first.unit}`, holds: 'number' },
      { head: `mean yield, ${units.rate}`, holds: 'number' },
      { head: `total, ${units.mass}`, holds: 'number' },
      { head: '95 %', holds: 'number' },
      { head: `total, ${mass(0).second.unit}`, holds: 'number' },
      { head: 'moisture, %', holds: 'number' },
    ],
    rows,
  };
}
