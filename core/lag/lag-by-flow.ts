/**
 * Whether the transport lag changes with the flow of grain (published: 8 s at 1–2 kg/s, 6 s at 4–13, 5 s at 17–21 from
 * meter to elevator, University of Kentucky): the lag of each gap in cutting by itself against the flow before it, a
 * least-squares line. It is reported, not applied.
 */
import { mean } from '../stats/moments.ts';
import { median, scaledMad } from '../stats/quantiles.ts';
import { twoSidedPFromT } from '../stats/student-t.ts';

export interface LagByFlow {
  /** Change of the lag for a flow that is twice the usual one, s. */
  readonly per_doubling_s: number;
  readonly se_s: number;
  /** Probability of so large a change where there is none. */
  readonly p: number;
  readonly gaps: number;
}

/** Fewer do not tell a slope from scatter. */
const LEAST_GAPS = 12;
/** Flows that differ by less than this share tell nothing: standard deviation over the mean. */
const LEAST_SPREAD = 0.05;
/** Gaps whose own lag lies further from the median of all do not speak. */
const DEVIATIONS = 5;

/**
 * `unexplained`: one row a gap, over `transports_s`, at the best mixing; `flow`: grain a second before each gap. Undefined
 * where there are too few gaps or too even a flow.
 */
export function lagByFlow(
  unexplained: readonly Float64Array[],
  transports_s: Float64Array,
  flow: Float64Array,
): LagByFlow | undefined {
  const usual = median(flow);
  const lags_s = Float64Array.from(unexplained, (row) => lowestPoint(row, transports_s));
  const centre_s = median(lags_s);
  const reach_s = DEVIATIONS * scaledMad(lags_s, centre_s);
  const kept = Array.from(lags_s.keys()).filter(
    (g) => Math.abs(lags_s[g] - centre_s) <= reach_s && flow[g] > 0,
  );
  const n = kept.length;
  if (n < LEAST_GAPS) return undefined;
  const x = kept.map((g) => flow[g] / usual);
  const y = kept.map((g) => lags_s[g]);
  const [xMean, yMean] = [mean(x), mean(y)];
  let xx = 0;
  let xy = 0;
  for (let k = 0; k < n; k++) {
    xx += (x[k] - xMean) ** 2;
    xy += (x[k] - xMean) * (y[k] - yMean);
  }
  if (!(Math.sqrt(xx / (n - 1)) >= LEAST_SPREAD)) return undefined;
  const slope_s = xy / xx;
  let rest = 0;
  for (let k = 0; k < n; k++) rest += (y[k] - yMean - slope_s * (x[k] - xMean)) ** 2;
  const se_s = Math.sqrt(rest / (n - 2) / xx);
  return { per_doubling_s: slope_s, se_s, p: twoSidedPFromT(slope_s / se_s, n - 2), gaps: n };
}

/** Lowest place of a row, refined by a parabola; NaN where it lies at an end. */
function lowestPoint(row: Float64Array, transports_s: Float64Array): number {
  let k = 0;
  for (let i = 1; i < row.length; i++) if (row[i] < row[k]) k = i;
  if (k === 0 || k === row.length - 1) return Number.NaN;
  const bend = row[k - 1] - 2 * row[k] + row[k + 1];
  const shift = bend > 0 ? (row[k - 1] - row[k + 1]) / (2 * bend) : 0;
  return transports_s[k] + shift * (transports_s[1] - transports_s[0]);
}
