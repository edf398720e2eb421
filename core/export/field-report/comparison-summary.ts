/** What a comparison came to, ready for a report. */
import type { FieldComparison } from '../../analysis/comparison/comparison-result.ts';
import type { YieldWords } from '../../analysis/comparison/comparison-words.ts';
import { ABSENT, grouped } from '../report/figures.ts';
import type { ReportComparison } from './report-material.ts';

/** `words` say yields in the reader's units. */
export function comparisonSummary(made: FieldComparison, words: YieldWords): ReportComparison {
  const shown = (yield_t_ha: number | null) => (yield_t_ha === null ? ABSENT : words.number(yield_t_ha));
  return {
    field: made.field,
    name: made.name,
    finding: [...made.told, ...made.cautions].join(' '),
    heads: ['treatment', 'strips', `mean yield, ${words.unit}`, 'standard error', 'moisture, %', 'alike'],
    rows: made.treatments.map(({ treatment, strips, yield_t_ha, se_t_ha, moisture_pct, letters }) => [
      treatment,
      grouped(strips, 0),
      shown(yield_t_ha),
      shown(se_t_ha),
      grouped(moisture_pct, 1),
      letters ?? '',
    ]),
  };
}
