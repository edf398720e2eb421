/** Records that already carry a flow: their clock, the grain that they say has passed, and the time in which it did. */
import type { RunningTime } from './flow.ts';
import type { GrainPassage } from './grain-passage.ts';
import type { FlowRecords } from './machine-record.ts';

/** Records closer together than this touch, s. */
const TOUCH_S = 1e-9;

/**
 * A clock for flow records that never runs backwards and in which no record overlaps the one before: t′ᵢ = max(tᵢ, t′ᵢ₋₁ + Δtᵢ),
 * which also times the rows whose own time is NaN. A receiver that puts its time back loses nothing that way: the rows
 * after the step are pushed on by a few seconds until the next pause absorbs it. Returns the column, seconds from
 * `origin_s`, and how many rows stepped backwards. NaN throughout when no row has a time.
 */
export function forwardClock(
  utc_s: Float64Array,
  interval_s: Float64Array,
  origin_s: number,
): { t_s: Float64Array; backward: number } {
  const n = utc_s.length;
  const t_s = new Float64Array(n).fill(Number.NaN);
  const first = utc_s.findIndex((s) => !Number.isNaN(s));
  if (first < 0) return { t_s, backward: 0 };
  t_s[first] = utc_s[first] - origin_s;
  for (let i = first - 1; i >= 0; i--) t_s[i] = t_s[i + 1] - interval_s[i + 1];
  let backward = 0;
  let latest_s = utc_s[first];
  for (let i = first + 1; i < n; i++) {
    const next_s = t_s[i - 1] + interval_s[i];
    if (Number.isNaN(utc_s[i])) {
      t_s[i] = next_s;
      continue;
    }
    t_s[i] = Math.max(utc_s[i] - origin_s, next_s);
    if (utc_s[i] < latest_s) backward++;
    latest_s = utc_s[i];
  }
  return { t_s, backward };
}

/** Whether any record of the column says something. */
export function isKnown(column: Float64Array): boolean {
  return column.some((x) => !Number.isNaN(x));
}

/**
 * The grain of flow records: each record's amount spread over its own interval, nothing between records. Kilograms where
 * any record knows a mass flow, else m³. Records of no length or unknown flow add nothing.
 */
export function passageFromRecords(records: FlowRecords): GrainPassage {
  const { mass_flow_kg_s, volume_flow_m3_s } = records.columns;
  const byMass = isKnown(mass_flow_kg_s);
  const flow = byMass ? mass_flow_kg_s : volume_flow_m3_s;
  return { ...accumulated(records, (i) => flow[i]), basis: byMass ? 'mass' : 'volume' };
}

/** Seconds covered by records. */
export function runningFromRecords(records: FlowRecords): RunningTime {
  const { t_s, cumulative } = accumulated(records, () => 1);
  return { t_s, cumulative_s: cumulative };
}

/** Running integral of a rate over the records' intervals: knots at their ends and, after pauses, at their starts. */
function accumulated({ t_s, interval_s }: FlowRecords, rateOf: (i: number) => number) {
  const knots_s = new Float64Array(2 * t_s.length);
  const cumulative = new Float64Array(knots_s.length);
  let total = 0;
  let k = 0;
  for (let i = 0; i < t_s.length; i++) {
    if (!(interval_s[i] > 0)) continue;
    const start_s = t_s[i] - interval_s[i];
    if (k === 0 || start_s > knots_s[k - 1] + TOUCH_S) {
      knots_s[k] = start_s;
      cumulative[k++] = total;
    }
    const rate = rateOf(i);
    if (!Number.isNaN(rate)) total += rate * interval_s[i];
    knots_s[k] = t_s[i];
    cumulative[k++] = total;
  }
  return { t_s: knots_s.slice(0, k), cumulative: cumulative.slice(0, k) };
}
