/** What the two lag estimators say, as series for the chart and in words. */
import type { LagCurveSummary, LagSummary } from '../../../core/result.ts';
import type { LagSeries } from '../../charts/types.ts';
import { decimal } from '../../text/quantities.ts';

const ENDS = 'Ends of passes';
const NEIGHBOURS = 'Neighbouring passes';
/** Two estimates agree while they differ by no more than this, s, or than their errors together. */
const AGREEMENT_S = 1;

export function lagSeries({ curve }: LagSummary): readonly LagSeries[] {
  return [
    ...(curve.ends_of_passes === null ? [] : [seriesOf(ENDS, curve.ends_of_passes)]),
    ...(curve.neighbour_agreement === null ? [] : [seriesOf(NEIGHBOURS, curve.neighbour_agreement)]),
  ];
}

function seriesOf(label: string, { lag_s, cost, best_s, se_s }: LagCurveSummary): LagSeries {
  return { label, lag_s, cost, best_s, se_s };
}

/** Whether both estimates say the same, in a sentence. */
export function agreementWords({ curve, method }: LagSummary): string {
  const { ends_of_passes: ends, neighbour_agreement: neighbours } = curve;
  if (ends === null && neighbours === null)
    return 'Neither can tell here. A lag known from another field of this machine can be set below.';
  if (ends === null)
    return method === 'as_logged'
      ? 'Only neighbouring passes can tell: this log already holds a flow, and none after the ends of passes.'
      : 'Only neighbouring passes can tell: the header left the crop too seldom, or the flow did not follow it.';
  if (neighbours === null)
    return 'Only the ends of passes can tell: too few passes lie side by side, driven opposite ways.';
  const apart_s = Math.abs(ends.best_s - neighbours.best_s);
  const errors_s = 1.96 * Math.hypot(ends.se_s, neighbours.se_s);
  const apart = decimal(apart_s, 1);
  if (apart_s <= Math.max(AGREEMENT_S, errors_s)) return `They agree: ${apart} s apart.`;
  return `They differ by ${apart} s, more than their errors explain. Look at the map with each, and check the antenna’s place and the header switch.`;
}

/** What either curve says of one lag, e.g. while it is dragged: how opposite passes agree there. */
export function lagWords({ curve }: LagSummary, lag_s: number): string {
  const parts: string[] = [];
  const { ends_of_passes: ends, neighbour_agreement: neighbours } = curve;
  if (neighbours !== null)
    parts.push(
      `opposite passes disagree by ${shareAt(neighbours, lag_s)} of their scatter (least ${least(neighbours)})`,
    );
  if (ends !== null)
    parts.push(
      `${shareAt(ends, lag_s)} of the flow at ends of passes stays unexplained (least ${least(ends)})`,
    );
  return parts.length === 0 ? '' : `At ${decimal(lag_s, 1)} s ${parts.join('; ')}.`;
}

function least({ cost }: LagCurveSummary): string {
  return percent(Math.min(...cost));
}

function shareAt({ lag_s, cost }: LagCurveSummary, at_s: number): string {
  const after = lag_s.findIndex((one_s) => one_s >= at_s);
  if (after < 0) return percent(cost.at(-1) ?? Number.NaN);
  if (after === 0) return percent(cost[0]);
  const part = (at_s - lag_s[after - 1]) / (lag_s[after] - lag_s[after - 1]);
  return percent(cost[after - 1] + part * (cost[after] - cost[after - 1]));
}

function percent(share: number): string {
  return `${decimal(100 * share, share < 0.0995 ? 1 : 0)} %`;
}
