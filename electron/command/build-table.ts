/** What came of many seasons: a table for people, and a line of JSON for each season. */
import { ESTIMATE_ONLY } from '../../core/export/caution.ts';
import {
  ABSENT,
  areaPair,
  type Figure,
  grouped,
  massPair,
  type UnitSystem,
  yieldPair,
} from '../../core/export/report/figures.ts';
import type { SeasonOutcome } from '../host/build-all/build-all.ts';
import type { FieldFigures, SeasonFigures } from '../host/build-all/season-figures.ts';
import { printable } from './printable.ts';

interface Column {
  readonly title: string;
  /** Numbers stand at the right. */
  readonly isNumber?: true;
}

const COLUMNS: readonly Column[] = [
  { title: 'season' },
  { title: 'crop' },
  { title: 'fields', isNumber: true },
  { title: 'area', isNumber: true },
  { title: 'mass, std moisture', isNumber: true },
  { title: 'mean yield', isNumber: true },
  { title: 'kept', isNumber: true },
  { title: 'calib. error', isNumber: true },
  { title: 'warnings', isNumber: true },
  { title: 'seconds', isNumber: true },
  { title: 'state' },
];

/**
 * A row for each season and crop: fields, area, mass at standard moisture, yield (that mass over that area), share of points kept, and the
 * largest leave-one-out error of its calibrations; in `units`, or in each season's own.
 */
export function tableText(
  outcomes: readonly SeasonOutcome[],
  units: UnitSystem | undefined,
  seconds: number,
): string {
  const rows = outcomes.flatMap((outcome) => rowsOf(outcome, units));
  const titles = COLUMNS.map(({ title }) => title);
  const widths = titles.map((title, k) =>
    Math.max(title.length, ...rows.map((row) => (k === titles.length - 1 ? 0 : [...row[k]].length))),
  );
  const line = (cells: readonly string[]) =>
    cells
      .map((cell, k) => {
        const room = ' '.repeat(Math.max(0, widths[k] - [...cell].length));
        return COLUMNS[k].isNumber ? room + cell : cell + room;
      })
      .join('  ')
      .trimEnd();
  return `${[line(titles), ...rows.map(line), '', endText(outcomes, seconds), ESTIMATE_ONLY].join('\n')}\n`;
}

function rowsOf(outcome: SeasonOutcome, units: UnitSystem | undefined): string[][] {
  const { figures } = outcome;
  const state = printable(
    outcome.why === undefined ? outcome.state : `${outcome.state}: ${outcome.why}`,
  ).replaceAll('\n', ' ');
  const seconds = grouped(outcome.seconds, 1);
  const name = printable(outcome.name);
  if (figures === undefined || figures.fields.length === 0) {
    const none = COLUMNS.slice(1, -3).map(() => ABSENT);
    return [[name, ...none, figures === undefined ? ABSENT : String(figures.warnings), seconds, state]];
  }
  const crops = [...new Set(figures.fields.map(({ crop }) => crop))];
  return crops.map((crop, k) => {
    const own = cropCells(figures, crop, units ?? figures.units);
    const whole = k === 0 ? [String(figures.warnings), seconds, state] : ['', '', ''];
    return [k === 0 ? name : '', ...own, ...whole];
  });
}

function cropCells(figures: SeasonFigures, crop: string, units: UnitSystem): string[] {
  const fields = figures.fields.filter((field) => field.crop === crop);
  const sum = (of: (field: FieldFigures) => number) => fields.reduce((total, field) => total + of(field), 0);
  const bushel_kg = fields[0].bushel_kg ?? Number.NaN;
  const area_ha = sum((field) => field.area_ha);
  const mass_kg = sum((field) => field.mass_std_kg);
  const points = sum((field) => field.points);
  const kept_pct = points === 0 ? null : (100 * sum((field) => field.points_kept)) / points;
  const shown = ({ number, unit }: Figure) => (number === ABSENT ? ABSENT : `${number} ${unit}`);
  return [
    printable(crop),
    String(fields.length),
    shown(areaPair(area_ha, units).first),
    shown(massPair(mass_kg, bushel_kg, units).first),
    shown(yieldPair(area_ha > 0 ? mass_kg / 1000 / area_ha : null, bushel_kg, units).first),
    percentCell(kept_pct),
    errorCell(figures, crop),
  ];
}

function errorCell({ calibrations }: SeasonFigures, crop: string): string {
  const errors = calibrations.flatMap((fit) =>
    fit.crop === crop && fit.loo_rmse_pct !== null ? [fit.loo_rmse_pct] : [],
  );
  return errors.length === 0 ? ABSENT : percentCell(Math.max(...errors));
}

function percentCell(pct: number | null): string {
  return pct === null ? ABSENT : `${grouped(pct, 1)} %`;
}

/** `12 seasons: 10 built, 1 unchanged, 1 failed; 83.0 s` */
function endText(outcomes: readonly SeasonOutcome[], seconds: number): string {
  const parts = (['built', 'unchanged', 'failed', 'stopped'] as const).flatMap((state) => {
    const count = outcomes.filter((outcome) => outcome.state === state).length;
    return count === 0 ? [] : [`${grouped(count, 0)} ${state}`];
  });
  const what = outcomes.length === 1 ? 'season' : 'seasons';
  return `${grouped(outcomes.length, 0)} ${what}: ${parts.join(', ')}; ${grouped(seconds, 1)} s`;
}

/** A line a season: plain SI and percent whatever the season's units, `null` where a number does not exist. */
export function rowsText(outcomes: readonly SeasonOutcome[]): string {
  return outcomes.map((outcome) => `${JSON.stringify(rowOf(outcome))}\n`).join('');
}

function rowOf({ name, folder, out, state, why, figures, seconds }: SeasonOutcome) {
  const { season = null, fields = [], calibrations = [], warnings = null } = figures ?? {};
  return {
    name,
    season,
    folder,
    out,
    state,
    why: why ?? null,
    seconds: Number(seconds.toFixed(3)),
    warnings,
    fields: fields.map(({ bushel_kg: _, points, points_kept, ...field }) => ({
      ...field,
      points,
      kept_pct: points === 0 ? null : Number(((100 * points_kept) / points).toFixed(3)),
    })),
    calibrations,
  };
}
