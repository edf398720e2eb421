/** What `compare` writes: everything as JSON, and tables as CSV. */
import type { FieldComparison } from '../../analysis/comparison/comparison-result.ts';
import type { SeasonComparisons } from '../../analysis/season-comparisons.ts';
import { CSV_LINE_END, harmless, quoted } from '../formats/csv-text.ts';
import { fixedJson, significant } from '../number-text.ts';

/** Significant digits of numbers in JSON: as in summary.json. */
const SIGNIFICANT_DIGITS = 13;

type Cell = string | number | null;

export interface ComparisonFile {
  readonly name: string;
  readonly pieces: Iterable<string>;
}

/** Tables without a row are not written. Same comparisons, same bytes. */
export function comparisonFiles(made: SeasonComparisons): ComparisonFile[] {
  const tables: [string, readonly string[], readonly (readonly Cell[])[]][] = [
    ['comparison.csv', STRIP_HEAD, made.comparisons.flatMap(stripRows)],
    ['comparison-treatments.csv', TREATMENT_HEAD, made.comparisons.flatMap(treatmentRows)],
    ['comparison-differences.csv', DIFFERENCE_HEAD, made.comparisons.flatMap(differenceRows)],
    ['totals.csv', TOTALS_HEAD, made.totals.flatMap(totalsRows)],
    ['margins.csv', MARGIN_HEAD, marginRows(made)],
  ];
  return [
    { name: 'comparison.json', pieces: [comparisonsText(made)] },
    ...tables.flatMap(([name, head, rows]) =>
      rows.length === 0 ? [] : [{ name, pieces: [csvTable(head, rows)] }],
    ),
  ];
}

/** Two-space JSON with a newline at the end. */
export function comparisonsText(made: object): string {
  const stable = (_key: string, held: unknown) =>
    typeof held === 'number' ? significant(held, SIGNIFICANT_DIGITS) : held;
  return `${JSON.stringify(made, stable, 2)}\n`;
}

/** Numbers with six digits after the point, words harmless to spreadsheets. */
export function csvTable(head: readonly string[], rows: readonly (readonly Cell[])[]): string {
  const cell = (held: Cell) => {
    if (held === null) return '';
    if (typeof held === 'string') return quoted(harmless(held));
    return Number.isFinite(held) ? fixedJson(held, 6) : '';
  };
  return [head, ...rows.map((row) => row.map(cell))]
    .map((line) => `${line.join(',')}${CSV_LINE_END}`)
    .join('');
}

const STRIP_HEAD = [
  'comparison',
  'field',
  'treatment',
  'block',
  'machines',
  'yield_t_ha',
  'yield_se_t_ha',
  'moisture_pct',
  'area_ha',
  'mass_wet_kg',
  'mass_std_kg',
  'points',
  'effective_points',
  'left_out_screened',
  'left_out_straddling',
  'left_out_over_edge',
  'left_out_near_end',
  'left_out_near_side',
];

function stripRows({ name, field, strips }: FieldComparison): Cell[][] {
  return strips.map((one) => [
    name,
    field,
    one.treatment,
    one.block,
    one.machines.join('; '),
    one.yield_t_ha,
    one.yield_se_t_ha,
    one.moisture_pct,
    one.area_ha,
    one.mass_wet_kg,
    one.mass_std_kg,
    one.points,
    one.effective_points,
    one.left_out.screened,
    one.left_out.straddling,
    one.left_out.over_edge,
    one.left_out.near_end,
    one.left_out.near_side,
  ]);
}

const TREATMENT_HEAD = [
  'comparison',
  'field',
  'treatment',
  'strips',
  'yield_t_ha',
  'yield_se_t_ha',
  'letters',
  'moisture_pct',
  'area_ha',
];

function treatmentRows({ name, field, treatments }: FieldComparison): Cell[][] {
  return treatments.map((one) => [
    name,
    field,
    one.treatment,
    one.strips,
    one.yield_t_ha,
    one.se_t_ha,
    one.letters,
    one.moisture_pct,
    one.area_ha,
  ]);
}

const DIFFERENCE_HEAD = [
  'comparison',
  'field',
  'higher',
  'lower',
  'difference_t_ha',
  'se_t_ha',
  'df',
  't',
  'p',
  'from_t_ha',
  'to_t_ha',
  'can_be_told',
];

function differenceRows({ name, field, differences }: FieldComparison): Cell[][] {
  return differences.map((one) => [
    name,
    field,
    one.higher,
    one.lower,
    one.difference_t_ha,
    one.se_t_ha,
    one.df,
    one.t,
    one.p,
    one.interval_t_ha?.[0] ?? null,
    one.interval_t_ha?.[1] ?? null,
    one.can_be_told ? 'yes' : 'no',
  ]);
}

const TOTALS_HEAD = [
  'by',
  'crop',
  'kind',
  'group',
  'area_ha',
  'mass_wet_kg',
  'mass_std_kg',
  'moisture_pct',
  'yield_t_ha',
  'points',
  'points_kept',
];

function totalsRows({ by, crop, rows }: SeasonComparisons['totals'][number]): Cell[][] {
  return rows.map((row) => [
    by,
    crop,
    row.kind,
    row.group,
    row.area_ha,
    row.mass_wet_kg,
    row.mass_std_kg,
    row.moisture_pct,
    row.yield_t_ha,
    row.points,
    row.points_kept,
  ]);
}

const MARGIN_HEAD = [
  'field',
  'comparison',
  'treatment',
  'currency',
  'yield_t_ha',
  'moisture_pct',
  'shrink',
  'shrink_pct',
  'sold_t_ha',
  'revenue_per_ha',
  'drying_per_ha',
  'hauling_per_ha',
  'costs_per_ha',
  'margin_per_ha',
  'break_even_t_ha',
];

function marginRows({ margins }: SeasonComparisons): Cell[][] {
  if (margins === null) return [];
  const row = (
    names: readonly Cell[],
    one: NonNullable<SeasonComparisons['margins']>['fields'][number]['margin'],
  ): Cell[] => [
    ...names,
    margins.currency,
    one.yield_t_ha,
    one.moisture_pct,
    one.shrink.label,
    one.shrink.pct,
    one.sold_t_ha,
    one.revenue_per_ha,
    one.drying_per_ha,
    one.hauling_per_ha,
    one.costs_per_ha,
    one.margin_per_ha,
    one.break_even_t_ha,
  ];
  return [
    ...margins.fields.map(({ field, margin }) => row([field, null, null], margin)),
    ...margins.treatments.flatMap(({ comparison, field, treatments }) =>
      treatments.map(({ treatment, margin }) => row([field, comparison, treatment], margin)),
    ),
  ];
}
