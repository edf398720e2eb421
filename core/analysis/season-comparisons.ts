/** Everything of a season that compares: strips, totals by group, margins. Plain data for window, command and report. */
import { type Notice, type Result, success } from '../errors.ts';
import { findCrop } from '../grain/find-crop.ts';
import { nearestWord } from '../nearest-word.ts';
import type { FieldSummary, SeasonResult } from '../result.ts';
import type { Season } from '../season.ts';
import { shownNames } from '../shown-text.ts';
import { buAcFromKgM2, kgM2FromTHa, lbFromKg, M2_PER_ACRE } from '../units.ts';
import { compareStrips } from './comparison/comparison.ts';
import type { FieldComparison } from './comparison/comparison-result.ts';
import type { ComparisonSheet } from './comparison/comparison-sheet.ts';
import type { YieldWords } from './comparison/comparison-words.ts';
import { MARGIN_FORMULAS } from './margin/margin.ts';
import {
  type FieldMargin,
  fieldMargins,
  NO_CURRENCY,
  type TreatmentMargins,
  treatmentMargins,
} from './margin/season-margins.ts';
import { GROUP_KINDS, type GroupKind, type TotalsTable, totalsBy } from './totals/group-totals.ts';

export interface SeasonComparisons {
  readonly season: string;
  readonly generated_by: string;
  readonly comparisons: readonly FieldComparison[];
  /** Comparisons that could not be made, each with a sentence. */
  readonly refused: readonly { readonly name: string; readonly field: string; readonly text: string }[];
  readonly totals: readonly TotalsTable[];
  /** `null` where the sheet has no prices. */
  readonly margins: SeasonMargins | null;
  readonly notices: readonly Notice[];
}

export interface SeasonMargins {
  readonly currency: string;
  readonly fields: readonly FieldMargin[];
  readonly treatments: readonly TreatmentMargins[];
  readonly formulas: readonly string[];
}

export interface ComparisonChoice {
  /** This field alone. */
  readonly field?: string;
  /** Tables of totals; all of them when absent. */
  readonly by?: readonly GroupKind[];
}

/** Text of a file of treatments, by its path; a failure where it could not be read. */
export type TreatmentTexts = ReadonlyMap<string, Result<string>>;

/** Code of the notice that a machine's grain of a crop is not calibrated; also the name of that model. */
export const UNCALIBRATED = 'uncalibrated';

/**
 * All of it by the sheet as it stands, `texts` being the files of treatments that it names. What cannot be compared is
 * `refused`, each with a sentence; nothing fails as a whole.
 */
export function seasonComparisons(
  season: Season,
  result: SeasonResult,
  texts: TreatmentTexts,
  choice: ComparisonChoice = {},
): SeasonComparisons {
  const isMeant = (field: string) => choice.field === undefined || field === choice.field;
  const made: FieldComparison[] = [];
  const refused: SeasonComparisons['refused'][number][] = [];
  const notices: Notice[] = uncalibrated(season, result, isMeant);
  for (const sheet of season.comparisons ?? []) {
    if (!isMeant(sheet.field)) continue;
    const found = compared(sheet, season, result, texts);
    notices.push(...found.notices);
    if (found.ok) made.push(found.value);
    else refused.push({ name: sheet.name, field: sheet.field, text: found.error.text });
  }
  if (choice.field === undefined && refused.length === 0) notices.push(...costsOfNoTreatment(season, made));
  return {
    season: season.name,
    generated_by: result.summary.generated_by,
    comparisons: made,
    refused,
    totals: (choice.by ?? GROUP_KINDS).flatMap((by) => totalsBy(by, season, result, isMeant)),
    margins: marginsOf(
      season,
      result.summary.fields.filter(({ name }) => isMeant(name)),
      made,
    ),
    notices,
  };
}

/** One notice for each machine and crop whose figures below are a pattern and no weight. */
function uncalibrated(
  season: Season,
  { summary }: SeasonResult,
  isMeant: (field: string) => boolean,
): Notice[] {
  const crops = new Set(summary.fields.filter(({ name }) => isMeant(name)).map(({ crop }) => crop));
  return summary.calibrations
    .filter(({ model, crop }) => model === UNCALIBRATED && crops.has(crop))
    .map(({ machine, crop }) => {
      const name = season.machines.find(({ id }) => id === machine)?.name ?? machine;
      const text = `${crop}, ${name}: not calibrated, no scale ticket belongs to it; its yields, totals and margins show the pattern, not the weight.`;
      return { code: UNCALIBRATED, severity: 'info', source: machine, count: 1, text };
    });
}

/** Costs of a treatment that no comparison has count nowhere: a slip of the pen mostly. Nothing where nothing is compared. */
function costsOfNoTreatment(season: Season, made: readonly FieldComparison[]): Notice[] {
  const known = [...new Set(made.flatMap(({ treatments }) => treatments.map(({ treatment }) => treatment)))];
  if (known.length === 0) return [];
  return (season.settings?.margin?.costs ?? []).flatMap(({ name, treatment }): Notice[] => {
    if (treatment === undefined || known.includes(treatment)) return [];
    const nearest = nearestWord(treatment, known);
    const hint = nearest === undefined ? `there is ${shownNames(known)}.` : `did you mean "${nearest}"?`;
    const text = `The cost "${name}" is of the treatment "${treatment}", which no comparison has, so that it counts nowhere; ${hint}`;
    return [{ code: 'cost_of_no_treatment', severity: 'look', source: 'season.json', count: 1, text }];
  });
}

function compared(
  sheet: ComparisonSheet,
  season: Season,
  { points, summary, epoch_utc_s, machines }: SeasonResult,
  texts: TreatmentTexts,
): Result<FieldComparison> {
  const own = points.find(({ field }) => field === sheet.field);
  if (own === undefined) {
    const text = `Field "${sheet.field}" of comparison "${sheet.name}" has no points: no machine was in it.`;
    return { ok: false, error: { code: 'no_points', source: sheet.name, text }, notices: [] };
  }
  const read = sheet.file === undefined ? success('') : texts.get(sheet.file.path);
  if (read !== undefined && !read.ok) return read;
  return compareStrips({
    sheet,
    points: own,
    text: read?.value,
    surface: season.settings?.surface,
    summary: summary.fields.find(({ name }) => name === sheet.field),
    epoch_utc_s,
    machines,
    machine_names: machines.map((id) => season.machines.find((one) => one.id === id)?.name ?? id),
    words: yieldWords(season, own.crop),
  });
}

/** Bushels an acre (pounds, for a crop without a bushel) or tonnes a hectare, as the season is shown. */
export function yieldWords(season: Season, crop_name: string): YieldWords {
  if (season.units !== 'us') return { unit: 't/ha', number: (yield_t_ha) => minus(yield_t_ha.toFixed(2)) };
  const crop = findCrop(season, crop_name);
  const bushel_kg = crop.ok ? crop.value.bushel_kg : Number.NaN;
  return bushel_kg > 0
    ? {
        unit: 'bu/ac',
        number: (yield_t_ha) => minus(buAcFromKgM2(kgM2FromTHa(yield_t_ha), bushel_kg).toFixed(1)),
      }
    : {
        unit: 'lb/ac',
        number: (yield_t_ha) => minus(lbFromKg(kgM2FromTHa(yield_t_ha) * M2_PER_ACRE).toFixed(0)),
      };
}

function minus(text: string): string {
  return text.replace('-', '−');
}

function marginsOf(
  season: Season,
  fields: readonly FieldSummary[],
  comparisons: readonly FieldComparison[],
): SeasonMargins | null {
  const { margin } = season.settings ?? {};
  if ((margin?.prices ?? []).length === 0) return null;
  return {
    currency: margin?.currency ?? NO_CURRENCY,
    fields: fieldMargins(season, fields),
    treatments: comparisons.flatMap((comparison) => {
      const field = fields.find(({ name }) => name === comparison.field);
      return (field && treatmentMargins(season, field, comparison)) ?? [];
    }),
    formulas: MARGIN_FORMULAS,
  };
}
