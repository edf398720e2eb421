/** What was screened, by reason: points or kilograms. */

import { SCREENING_RULES } from '../../core/result.ts';
import type { ScreeningRule } from '../../core/season.ts';
import { RuleMark } from '../map/rule-mark.tsx';
import { decimal, scaleMass } from '../text/quantities.ts';
import { ruleWords } from '../text/words.ts';
import './charts.css';
import type { ScreeningBarsProps, ScreeningCount } from './types.ts';

/** A list of buttons with bars to one scale: the reasons can be chosen, so they must be reachable. */
export function ScreeningBars(props: ScreeningBarsProps) {
  const { counts, total_points, total_kg, units, show, selectedRule, onSelectRule } = props;
  const amountOf = (count: ScreeningCount) => (show === 'points' ? count.points : count.mass_kg);
  const total = show === 'points' ? total_points : total_kg;
  const bars = counts.filter((count) => amountOf(count) > 0).sort((a, b) => amountOf(b) - amountOf(a));
  if (bars.length === 0)
    return <p className="chart-empty">Nothing was screened: every point is on the map.</p>;
  const most = amountOf(bars[0]);
  return (
    <figure className="chart">
      <figcaption>{findingOf(bars, total, show, amountOf)}</figcaption>
      <ul className="rule-bars">
        {bars.map((count) => {
          const isOn = selectedRule === count.rule;
          return (
            <li key={count.rule}>
              <button
                type="button"
                aria-pressed={isOn}
                disabled={!onSelectRule}
                onClick={() => onSelectRule?.(isOn ? null : count.rule)}
              >
                <span className="rule-name">
                  {isRule(count.rule) && <RuleMark rule={count.rule} />} {ruleWords(count.rule)}
                </span>
                <span className="rule-bar" aria-hidden="true">
                  <span data-rule={count.rule} style={{ width: `${(100 * amountOf(count)) / most}%` }} />
                </span>
                <span className="rule-amount">
                  {show === 'points' ? (
                    decimal(count.points, 0)
                  ) : (
                    <>
                      {scaleMass(count.mass_kg, units).number}{' '}
                      <span className="unit">{scaleMass(count.mass_kg, units).unit}</span>
                    </>
                  )}
                </span>
                <span className="rule-share">
                  {decimal((100 * amountOf(count)) / total, 1)} <span className="unit">%</span>
                </span>
              </button>
            </li>
          );
        })}
      </ul>
    </figure>
  );
}

/** Points while nothing was cut are left aside: they were never a part of the crop. */
function findingOf(
  bars: readonly ScreeningCount[],
  total: number,
  show: ScreeningBarsProps['show'],
  amountOf: (count: ScreeningCount) => number,
): string {
  const cut = bars.filter(({ rule }) => rule !== 'not_cutting');
  const idle = bars
    .filter(({ rule }) => rule === 'not_cutting')
    .reduce((all, count) => all + amountOf(count), 0);
  const what = show === 'points' ? 'points in the crop' : 'the grain cut';
  if (cut.length === 0) return `All ${what} are on the map`;
  const sum = cut.reduce((all, count) => all + amountOf(count), 0);
  return `${decimal((100 * sum) / (total - idle), 1)} % of ${what} left off the map, most for “${ruleWords(cut[0].rule)}”`;
}

function isRule(rule: string): rule is ScreeningRule {
  return (SCREENING_RULES as readonly string[]).includes(rule);
}
