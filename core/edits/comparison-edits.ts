/** Edits of what is compared, and of prices and costs. */
import type { ComparisonSheet } from '../analysis/comparison/comparison-sheet.ts';
import type { MarginSheet } from '../analysis/margin/margin-sheet.ts';
import type { StabilitySheet } from '../analysis/seasons/stability-sheet.ts';
import { type Result, success } from '../errors.ts';
import type { Season, SettingsSheet } from '../season.ts';
import { drawnFault } from '../track/drawn-boundary.ts';
import { type Change, counted, notThere, patchName, refused } from './change.ts';
import { type JsonObject, mergePatch, withoutEmptyParts } from './merge-patch.ts';
import type { Patch } from './season-edit.ts';

/** "Comparison Hybrids added in Home, 12 strips", "Comparison Hybrids changed" */
export function setComparison(season: Season, comparison: ComparisonSheet): Result<Change> {
  for (const [k, { rings }] of (comparison.strips ?? []).entries()) {
    const fault = drawnFault(rings);
    if (fault !== undefined) return refused(`Strip ${k + 1}: ${fault.text}`);
  }
  const held = season.comparisons ?? [];
  const index = held.findIndex(({ name }) => name === comparison.name);
  const comparisons = index < 0 ? [...held, comparison] : held.with(index, comparison);
  const strips = comparison.strips === undefined ? '' : `, ${counted(comparison.strips.length, 'strip')}`;
  const done = index < 0 ? `added in ${comparison.field}` : 'changed';
  return success({
    season: { ...season, comparisons },
    name: `Comparison ${comparison.name} ${done}${strips}`,
  });
}

/** "Comparison Hybrids renamed to Corn hybrids". Refused where there is none of that name. */
export function renameComparison(season: Season, name: string, to: string): Result<Change> {
  const held = season.comparisons ?? [];
  const index = held.findIndex((one) => one.name === name);
  if (index < 0) return notThere('comparison', name, names(season));
  const comparisons = held.with(index, { ...held[index], name: to });
  return success({ season: { ...season, comparisons }, name: `Comparison ${name} renamed to ${to}` });
}

/** A file of treatments stays on the disk. */
export function removeComparison(season: Season, name: string): Result<Change> {
  if (!names(season).includes(name)) return notThere('comparison', name, names(season));
  const kept = (season.comparisons ?? []).filter((one) => one.name !== name);
  const { comparisons: _, ...rest } = season;
  return success({
    season: kept.length === 0 ? rest : { ...season, comparisons: kept },
    name: `Comparison ${name} removed`,
  });
}

const MARGIN_NAMES = { currency: 'currency', prices: 'prices', costs: 'costs' } as const;

/** Lists of prices and costs as wholes; `null`: none of it. "Prices, costs changed" */
export function setMargin(season: Season, change: Patch<MarginSheet> | null): Result<Change> {
  if (change === null) return settingsWith(season, { margin: null }, 'Prices and costs taken away');
  const changed = (Object.keys(MARGIN_NAMES) as (keyof MarginSheet)[]).filter(
    (key) => change[key] !== undefined,
  );
  const text = changed.map((key) => MARGIN_NAMES[key]).join(', ');
  const name =
    text === '' ? 'Nothing changed in prices and costs' : `${text[0].toUpperCase()}${text.slice(1)} changed`;
  return settingsWith(season, { margin: change as JsonObject }, name);
}

/** `null`: the defaults again. Named by what has changed. */
export function setStability(season: Season, change: Patch<StabilitySheet> | null): Result<Change> {
  if (change === null) return settingsWith(season, { seasons: null }, 'Stability of seasons by the defaults');
  const name = patchName(change as JsonObject, 'the stability of seasons');
  return settingsWith(season, { seasons: change as JsonObject }, name);
}

function names(season: Season): string[] {
  return (season.comparisons ?? []).map(({ name }) => name);
}

function settingsWith(season: Season, patch: JsonObject, name: string): Result<Change> {
  const settings = withoutEmptyParts(mergePatch((season.settings ?? {}) as JsonObject, patch));
  const { settings: _, ...rest } = season;
  if (Object.keys(settings).length === 0) return success({ season: rest, name });
  return success({ season: { ...season, settings: settings as SettingsSheet }, name });
}
