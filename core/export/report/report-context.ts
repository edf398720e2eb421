/** What every section of the report reads. */
import type { Notice } from '../../errors.ts';
import { findCrop } from '../../grain/find-crop.ts';
import type { FieldSummary, SeasonResult } from '../../result.ts';
import type { Season } from '../../season.ts';
import type { Figure, FigurePair, UnitSystem } from './figures.ts';
import { html, type Markup } from './markup.ts';

export interface ReportContext {
  readonly season: Season;
  readonly result: SeasonResult;
  /** Everything noticed on the way, with its severity. */
  readonly notices: readonly Notice[];
  /** The sheet's choice; metric when it makes none. */
  readonly system: UnitSystem;
}

/** Weight of the crop's bushel, kg; NaN where it has none. */
export function bushelOf(context: ReportContext, crop: string): number {
  const found = findCrop(context.season, crop);
  return found.ok ? found.value.bushel_kg : Number.NaN;
}

/** A figure with its unit in a quieter weight. */
export function figure(shown: Figure): Markup {
  return html`<span class="figure">${shown.number}<span class="unit"> ${shown.unit}</span></span>`;
}

/** A figure in the sheet's units, then in the others. */
export function both(pair: FigurePair): Markup {
  return html`${figure(pair.first)} <span class="other">${figure(pair.second)}</span>`;
}

/** States differ in shape as well as in hue. */
export const STATE_MARKS = {
  good: html`<span class="state good" aria-label="good">●</span>`,
  look: html`<span class="state look" aria-label="look at this">▲</span>`,
  mend: html`<span class="state mend" aria-label="put this right">■</span>`,
  aside: html`<span class="state aside" aria-label="set aside">○</span>`,
} as const;

/** What the sheet calls the machine. */
export function machineName({ season }: ReportContext, id: string): string {
  return season.machines.find((machine) => machine.id === id)?.name ?? id;
}

/** Fields of one crop, in the order of the season. */
export function fieldsByCrop(context: ReportContext): Map<string, FieldSummary[]> {
  const crops = new Map<string, FieldSummary[]>();
  for (const field of context.result.summary.fields) {
    crops.set(field.crop, [...(crops.get(field.crop) ?? []), field]);
  }
  return crops;
}

/** `corn` → `Corn`. */
export function capitalised(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** `ends_of_passes` → `ends of passes`. */
export function plainWords(code: string): string {
  return code.replaceAll('_', ' ');
}
