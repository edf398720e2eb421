/** Logs of rows (tally and flow logs) in outline. */
import type { FlowLogColumns, TallyColumns } from '../read/logger-run.ts';
import { isPrintable } from '../shown-text.ts';
import { median } from '../stats/quantiles.ts';
import type { RowsOutline } from './file-inspection.ts';
import { thinSamples } from './track-samples.ts';

/** Cells of a field's name are looked at up to so many different ones. */
const MOST_FIELDS = 100;

/** Whether a cell can be the name of a field in a season sheet. */
function isName(cell: string): boolean {
  return cell !== '' && cell.length <= 100 && isPrintable(cell);
}

export function outlineOfFlow(rows: FlowLogColumns): RowsOutline {
  const flow = (i: number) =>
    Number.isNaN(rows.mass_flow_kg_s[i]) ? rows.volume_flow_m3_s[i] : rows.mass_flow_kg_s[i];
  const working = rows.utc_s.map((_, i) =>
    rows.up[i] === 1 || flow(i) === 0 || rows.swath_m[i] === 0 ? 0 : 1,
  );
  return {
    rows: rows.utc_s.length,
    samples: thinSamples({ ...rows, working }),
    width_m: median(rows.swath_m.filter((width_m, i) => width_m > 0 && working[i] === 1)),
    fields: [...new Set(rows.field ?? [])].filter(isName).slice(0, MOST_FIELDS),
  };
}

export function outlineOfTally(rows: TallyColumns): RowsOutline {
  const working = rows.utc_s.map((_, i) => (rows.up[i] === 1 || rows.paddles[i] === 0 ? 0 : 1));
  const ticks = rows.tick_us.filter((tick_us) => !Number.isNaN(tick_us));
  return {
    rows: rows.utc_s.length,
    samples: thinSamples({ ...rows, working }),
    ...(ticks.length > 0 ? { counter: { first_us: ticks[0], last_us: ticks[ticks.length - 1] } } : {}),
    width_m: Number.NaN,
    fields: [],
  };
}
