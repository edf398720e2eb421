/** What is printed of a real field log: its lag curve and what screening took. */
import { type FieldPoints, type LagSummary, SCREENING_RULES } from '../../core/result.ts';

export function lagText(lag: LagSummary): string {
  const curve = lag.curve.neighbour_agreement;
  if (curve === null) return 'the neighbours cannot tell a lag; left as logged';
  const low = curve.cost.reduce((best, cost, k) => (cost < curve.cost[best] ? k : best), 0);
  return `lag curve lowest at ${curve.lag_s[low].toFixed(1)} s (${curve.cost[low].toFixed(3)}), best ${curve.best_s.toFixed(2)} ± ${curve.se_s.toFixed(2)} s from ${curve.count} pairs; at 0 s ${curve.cost[curve.lag_s.indexOf(0)]?.toFixed(3) ?? 'not asked'}`;
}

export function screenedText({ screened_by }: FieldPoints): string {
  const counts = new Map<number, number>();
  for (const rule of screened_by) counts.set(rule, (counts.get(rule) ?? 0) + 1);
  const share = (rule: number) => `${((100 * (counts.get(rule) ?? 0)) / screened_by.length).toFixed(2)} %`;
  const rules = SCREENING_RULES.flatMap((name, k) => (counts.has(k + 1) ? [`${name} ${share(k + 1)}`] : []));
  return `${screened_by.length} points, kept ${share(0)}; ${rules.join(', ')}`;
}
