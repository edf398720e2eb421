/** Comparisons, totals and margins as tables on a terminal. */
import type { FieldComparison } from '../../core/analysis/comparison/comparison-result.ts';
import type { YieldWords } from '../../core/analysis/comparison/comparison-words.ts';
import { ACRES_PER_HA } from '../../core/analysis/margin/margin.ts';
import {
  type SeasonComparisons,
  type SeasonMargins,
  UNCALIBRATED,
  yieldWords,
} from '../../core/analysis/season-comparisons.ts';
import { NO_TICKET, NO_VARIETY, type TotalsTable } from '../../core/analysis/totals/group-totals.ts';
import { ABSENT, grouped } from '../../core/export/report/figures.ts';
import { findCrop } from '../../core/grain/find-crop.ts';
import type { Season } from '../../core/season.ts';
import { acresFromM2, lbFromKg, m2FromHa, tonnesFromKg } from '../../core/units.ts';
import { printable } from './printable.ts';

/** Tables and sentences, in the units of the season. */
export function comparisonsTextOf(made: SeasonComparisons, season: Season): string {
  const blocks = [
    ...made.comparisons.map((one) => comparisonText(one, season)),
    ...made.refused.map(({ name, text }) => `${name}: ${text}`),
    ...made.totals.filter(tells).map((table) => totalsText(table, season, yieldWords(season, table.crop))),
    ...(made.margins === null ? [] : [marginsText(made.margins, season)]),
    ...made.notices.filter(({ code }) => code === UNCALIBRATED).map(({ text }) => `! ${text}`),
  ];
  return `${blocks.map(printable).join('\n\n')}\n`;
}

function comparisonText(one: FieldComparison, season: Season): string {
  const { unit, number } = yieldWords(season, one.crop);
  const isUs = season.units === 'us';
  const shown = (yield_t_ha: number | null) => (yield_t_ha === null ? ABSENT : number(yield_t_ha));
  const left = (strip: FieldComparison['strips'][number]) =>
    Object.values(strip.left_out).reduce((sum, count) => sum + count, 0);
  const strips = table(
    ['strip', 'block', unit, 'se', 'moisture %', isUs ? 'ac' : 'ha', 'points', 'worth', 'left out'],
    one.strips.map((strip) => [
      strip.treatment,
      strip.block ?? ABSENT,
      shown(strip.yield_t_ha),
      shown(strip.yield_se_t_ha),
      grouped(strip.moisture_pct, 1),
      grouped(isUs ? acresFromM2(m2FromHa(strip.area_ha)) : strip.area_ha, 3),
      String(strip.points),
      grouped(strip.effective_points, 0),
      String(left(strip)),
    ]),
  );
  const treatments = table(
    ['treatment', 'strips', unit, 'se', 'moisture %', ''],
    one.treatments.map((treatment) => [
      treatment.treatment,
      String(treatment.strips),
      shown(treatment.yield_t_ha),
      shown(treatment.se_t_ha),
      grouped(treatment.moisture_pct, 1),
      treatment.letters ?? '',
    ]),
  );
  return [
    `${one.name} in ${one.field} (${one.crop})`,
    one.design.about,
    strips,
    treatments,
    ...(one.test === null ? [] : [testText(one.test, { unit, number })]),
    ...one.told,
    ...one.cautions.map((caution) => `! ${caution}`),
    ...(one.calibration_se_pct === null
      ? []
      : [
          `All yields share the calibration's standard error of ${one.calibration_se_pct.toFixed(1)} %; it is not in their differences.`,
        ]),
  ].join('\n');
}

const TESTS = {
  paired_t: 'Paired t test',
  welch_t: "Welch's t test",
  randomised_blocks: 'Analysis of variance in randomised blocks',
  one_way: 'Analysis of variance, one way',
} as const;

function testText(test: NonNullable<FieldComparison['test']>, { unit, number }: YieldWords): string {
  const rows = test.anova.map(({ source, df, f, p }) =>
    f === null || p === null
      ? `${source} ${df} df`
      : `${source} ${df} df, F ${f.toFixed(2)}, p ${p < 0.0001 ? '< 0.0001' : p.toFixed(4)}`,
  );
  const parts = [
    ...(rows.length > 0 ? rows : [`p ${test.p.toFixed(4)}`]),
    ...(test.cv_pct === null ? [] : [`CV ${test.cv_pct.toFixed(1)} %`]),
    ...(test.lsd_t_ha === null ? [] : [`LSD ${number(test.lsd_t_ha)} ${unit}`]),
  ];
  return `${TESTS[test.kind]}: ${parts.join('; ')}.`;
}

/** Whether a table says more than that nothing was named. */
function tells({ rows }: TotalsTable): boolean {
  const groups = rows.filter(({ kind }) => kind === 'group');
  return groups.length > 1 || ![NO_TICKET, NO_VARIETY].includes(groups[0]?.group ?? NO_TICKET);
}

function totalsText({ by, crop, rows }: TotalsTable, season: Season, { unit, number }: YieldWords): string {
  const isUs = season.units === 'us';
  const area = (area_ha: number) => grouped(isUs ? acresFromM2(m2FromHa(area_ha)) : area_ha, 2);
  const wet = (kg: number) => (isUs ? grouped(lbFromKg(kg), 0) : grouped(tonnesFromKg(kg), 2));
  const found = findCrop(season, crop);
  const bushel_kg = isUs && found.ok ? found.value.bushel_kg : Number.NaN;
  const standard = (kg: number) => (bushel_kg > 0 ? grouped(kg / bushel_kg, 1) : wet(kg));
  const masses = isUs ? ['wet lb', bushel_kg > 0 ? 'standard bu' : 'standard lb'] : ['wet t', 'standard t'];
  return [
    `Totals of ${crop} by ${by}`,
    table(
      [by, isUs ? 'ac' : 'ha', ...masses, 'moisture %', unit, 'points', 'kept'],
      rows.map((row) => [
        row.group,
        row.kind === 'remainder' ? ABSENT : area(row.area_ha),
        wet(row.mass_wet_kg),
        standard(row.mass_std_kg),
        grouped(row.moisture_pct, 1),
        row.yield_t_ha === null ? ABSENT : number(row.yield_t_ha),
        grouped(row.points, 0),
        grouped(row.points_kept, 0),
      ]),
    ),
  ].join('\n');
}

function marginsText({ currency, fields, treatments, formulas }: SeasonMargins, season: Season): string {
  const isUs = season.units === 'us';
  const sum = (per_ha: number) => grouped(isUs ? per_ha / ACRES_PER_HA : per_ha, 0);
  const head = ['', 'revenue', 'drying', 'hauling', 'costs', 'margin', 'break-even yield', 'shrink'];
  const row = (name: string, crop: string, one: SeasonMargins['fields'][number]['margin']) => {
    const { unit, number } = yieldWords(season, crop);
    const even =
      one.break_even_t_ha === null || one.costs.length === 0
        ? ABSENT
        : `${number(one.break_even_t_ha)} ${unit}`;
    return [
      name,
      ...[one.revenue_per_ha, one.drying_per_ha, one.hauling_per_ha, one.costs_per_ha, one.margin_per_ha].map(
        sum,
      ),
      even,
      `${one.shrink.pct.toFixed(1)} % (${one.shrink.label})`,
    ];
  };
  const cropOf = (name: string) => season.fields.find((field) => field.name === name)?.crop ?? '';
  return [
    `Gross margin, ${currency}/${isUs ? 'ac' : 'ha'}`,
    table(head, [
      ...fields.map(({ field, crop, margin }) => row(field, crop, margin)),
      ...treatments.flatMap((one) =>
        one.treatments.map(({ treatment, margin }) =>
          row(`${one.comparison}: ${treatment}`, cropOf(one.field), margin),
        ),
      ),
    ]),
    ...treatments.flatMap(({ told }) => told ?? []),
    ...formulas.map((formula) => `  ${formula}`),
  ].join('\n');
}

/** Columns side by side; the first is words, the others numbers that end below each other. */
function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = head.map((name, k) => Math.max(name.length, ...rows.map((row) => row[k].length)));
  return [head, ...rows]
    .map((row) =>
      row
        .map((cell, k) => (k === 0 ? cell.padEnd(widths[k]) : cell.padStart(widths[k])))
        .join('  ')
        .trimEnd(),
    )
    .map((line) => `  ${line}`)
    .join('\n');
}
