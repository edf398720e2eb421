/** The totals of a season in a few lines of plain text. */
import { ESTIMATE_ONLY } from '../../core/export/caution.ts';
import { areaPair, massPair, type UnitSystem, yieldPair } from '../../core/export/report/figures.ts';
import { gatheredNotices, gatheredText } from '../../core/gathered-notices.ts';
import { findCrop } from '../../core/grain/find-crop.ts';
import type { FieldSummary } from '../../core/result.ts';
import type { SeasonRun } from '../host/run-season.ts';
import { printable } from './printable.ts';

/** More than these would push the totals off the screen. */
const MOST_NOTICES = 6;

/**
 * One line a field: area, mean yield, total at standard moisture, in the sheet's own units and then in the others;
 * then what the loads say, and what needs a look.
 */
export function totalsText({ season, result, notices }: SeasonRun): string {
  const { summary } = result;
  const system: UnitSystem = season.units ?? 'metric';
  const widest = Math.max(0, ...summary.fields.map((field) => field.name.length));
  const lines = summary.fields.map((field) => {
    const crop = findCrop(season, field.crop);
    return `${field.name.padEnd(widest)}  ${fieldText(field, crop.ok ? crop.value.bushel_kg : Number.NaN, system)}`;
  });
  for (const fit of summary.calibrations) {
    const used = fit.loads.filter((load) => load.used).length;
    const error = fit.loo_rmse_pct === null ? '' : `, leave-one-out error ${fit.loo_rmse_pct.toFixed(1)} %`;
    const found =
      fit.loads.length === 0
        ? 'not calibrated (no scale ticket belongs to it)'
        : `${used} of ${fit.loads.length} loads in the fit${error}`;
    const machine = season.machines.find(({ id }) => id === fit.machine)?.name ?? fit.machine;
    lines.push(`${fit.crop}, ${machine}: ${found}`);
  }
  const graver = notices.filter(({ severity }) => severity !== 'info');
  const shown = gatheredNotices(graver).slice(0, MOST_NOTICES);
  for (const one of shown) lines.push(`! ${printable(gatheredText(one))}`);
  const rest = notices.length - shown.reduce((sum, { alike }) => sum + 1 + alike, 0);
  if (rest > 0) lines.push(`(${rest} more ${rest === 1 ? 'notice is' : 'notices are'} in report.html)`);
  lines.push(ESTIMATE_ONLY);
  return `${lines.join('\n')}\n`;
}

function fieldText(field: FieldSummary, bushel_kg: number, system: UnitSystem): string {
  const pairs = [
    areaPair(field.area_ha, system),
    yieldPair(field.mean_yield_t_ha, bushel_kg, system),
    massPair(field.mass_std_kg, bushel_kg, system),
  ];
  const [first, second] = (['first', 'second'] as const).map((side) =>
    pairs.map((pair) => `${pair[side].number} ${pair[side].unit}`).join('  '),
  );
  return `${field.crop}  ${first}  (${second}) at ${field.standard_moisture_pct} %`;
}
