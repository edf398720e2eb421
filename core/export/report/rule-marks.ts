/** The small open marks that stand for the screening rules on a map and in its legend: they differ in shape. */
import type { ScreeningRule } from '../../season.ts';
import { html, type Markup, NOTHING } from './markup.ts';

/** Half the size of a mark, in picture points. */
const REACH = 3;

/** Rules without a mark: those points are not in the crop at all. */
export const UNMARKED: readonly ScreeningRule[] = ['not_cutting'];

const SHAPES: Readonly<Record<ScreeningRule, (x: number, y: number) => string>> = {
  not_cutting: () => '',
  ramp: (x, y) =>
    `M${at(x - REACH)} ${at(y)}a${REACH} ${REACH} 0 1 0 ${2 * REACH} 0a${REACH} ${REACH} 0 1 0 ${-2 * REACH} 0`,
  slow: (x, y) => `M${at(x - REACH)} ${at(y - REACH)}h${2 * REACH}v${2 * REACH}h${-2 * REACH}z`,
  speed_jump: (x, y) => `M${at(x)} ${at(y - REACH - 1)}l4 4-4 4-4-4z`,
  narrow_cut: (x, y) => `M${at(x)} ${at(y - REACH - 0.5)}l3.8 6.5h-7.6z`,
  yield_limits: (x, y) => `M${at(x)} ${at(y + REACH + 0.5)}l3.8-6.5h-7.6z`,
  no_fix: (x, y) => `M${at(x - REACH)} ${at(y - REACH)}l6 6m0-6l-6 6`,
  by_hand: (x, y) => `M${at(x - REACH - 0.5)} ${at(y)}h7`,
  short_pass: (x, y) => `M${at(x - REACH)} ${at(y - 1.5)}h6v3h-6z`,
  flow_range: (x, y) => `M${at(x - REACH)} ${at(y + 1)}l3-3.5 3 3.5m-6 3.5l3-3.5 3 3.5`,
  moisture_range: (x, y) => `M${at(x)} ${at(y - REACH - 1)}l2.6 4a3 3 0 1 1-5.2 0z`,
  local_outlier: (x, y) => `M${at(x)} ${at(y - REACH - 0.5)}v7m-3-5.2l6 3.5m0-3.5l-6 3.5`,
  outside_field: (x, y) => `M${at(x - REACH - 0.5)} ${at(y)}h7m-3.5-3.5v7`,
};

/** Words for the rules, as in the ledger and the legend. */
export const RULE_WORDS: Readonly<Record<ScreeningRule, string>> = {
  not_cutting: 'not cutting',
  outside_field: 'outside the field',
  no_fix: 'no or poor fix',
  ramp: 'start or end of a pass',
  slow: 'slow or stopped',
  speed_jump: 'speed jump',
  narrow_cut: 'narrow cut',
  yield_limits: 'yield beyond limits',
  by_hand: 'left out by hand',
  short_pass: 'short pass',
  flow_range: 'flow beyond the sensor',
  moisture_range: 'moisture beyond limits',
  local_outlier: 'unlike the ground around',
};

/** The words for a rule that may also be one that this page does not know. */
export function ruleWords(rule: string): string {
  return (RULE_WORDS as Readonly<Record<string, string>>)[rule] ?? rule.replaceAll('_', ' ');
}

/** SVG path data of the mark for `rule` at a place of the picture. */
export function markPath(rule: ScreeningRule, x: number, y: number): string {
  return SHAPES[rule](x, y);
}

/** The mark by itself, for a legend. */
export function markSample(rule: string): Markup {
  const shape = (SHAPES as Readonly<Record<string, ((x: number, y: number) => string) | undefined>>)[rule]?.(
    6,
    6,
  );
  if (!shape) return NOTHING;
  return html`<svg class="mark" viewBox="0 0 12 12" width="12" height="12" aria-hidden="true"><path d="${shape}"/></svg>`;
}

function at(coordinate: number): string {
  return coordinate.toFixed(1);
}
