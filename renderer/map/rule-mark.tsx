/** The small open mark of a screening rule, as on the map and in the report. */
import { markPath } from '../../core/export/report/rule-marks.ts';
import type { ScreeningRule } from '../../core/season.ts';

export function RuleMark({ rule }: { readonly rule: ScreeningRule }) {
  return (
    <svg viewBox="0 0 12 12" width="12" height="12" aria-hidden="true" className="rule-mark">
      <path d={markPath(rule, 6, 6)} fill="none" stroke="currentColor" strokeWidth="1.1" />
    </svg>
  );
}
