/** The lags as summary.json names them: one row a field and machine that cut in it. */
import { finiteOrNull } from '../columns.ts';
import type { LagCurveSummary, LagSummary } from '../result.ts';
import type { FieldSheet, MachineSheet } from '../season.ts';
import type { MachineRecord } from '../signal/machine-record.ts';
import type { GroundSolution } from '../track/field-ground.ts';
import type { FieldLags, PlotLag } from './field-lags.ts';

/** For a log left as logged, `neighbour_transport_s` carries the best lag found, negative when it was over-shifted. */
export function lagSummaries(
  season: {
    readonly machines: readonly Pick<MachineSheet, 'id'>[];
    readonly fields: readonly Pick<FieldSheet, 'name'>[];
  },
  records: readonly MachineRecord[],
  ground: GroundSolution,
  lags: readonly FieldLags[],
  credit: readonly {
    readonly noise_gains: readonly number[];
    readonly unsmear_helps?: readonly (boolean | null)[];
  }[],
): LagSummary[] {
  return ground.fields.flatMap(({ field, plots }, f) =>
    plots.map((plot, p) => {
      const { lag } = lags[f].plots[p];
      return {
        field: season.fields[field].name,
        machine: season.machines[records[plot.record].machine].id,
        transport_s: finiteOrNull(lag.transport_s),
        mixing_s: finiteOrNull(lag.mixing_s),
        transport_se_s: finiteOrNull(lag.transport_se_s),
        method: lag.method,
        applied_s: lag.applied_s,
        unsmear_noise_gain: credit[f].noise_gains[p] === 1 ? null : finiteOrNull(credit[f].noise_gains[p]),
        neighbour_transport_s: finiteOrNull(lag.neighbour_transport_s),
        unsmear_helps: credit[f].unsmear_helps?.[p] ?? null,
        moisture_s: finiteOrNull(lag.moisture_s),
        moisture_se_s: finiteOrNull(lag.moisture_se_s),
        moisture_method: lag.moisture_method,
        lag_by_flow: lags[f].plots[p].ends?.by_flow ?? null,
        curve: curvesOf(lags[f].plots[p]),
      };
    }),
  );
}

/** Digits after the point: of costs, which reach from 0 to about 1, and of seconds. */
const COST_DIGITS = 4;
const SECOND_DIGITS = 3;
/** Neighbours are tried every half second; every whole one is enough to see the valley. */
const SHOWN_STEP = 2;

/** Neighbours answer with the whole shift; less the mixing in use it is a transport lag like the other's. */
function curvesOf({ ends, neighbours, lag }: PlotLag): LagSummary['curve'] {
  return {
    ends_of_passes:
      ends === undefined
        ? null
        : curveOf(
            ends.transport_s,
            ends.transport_se_s,
            ends.gaps,
            ends.curve.transport_s,
            ends.curve.unexplained,
          ),
    neighbour_agreement:
      neighbours === undefined
        ? null
        : curveOf(
            neighbours.shift_s - lag.mixing_s,
            neighbours.shift_se_s,
            neighbours.pairs,
            every(SHOWN_STEP, neighbours.curve.shift_s).map((shift_s) => shift_s - lag.mixing_s),
            every(SHOWN_STEP, neighbours.curve.disagreement),
          ),
  };
}

function curveOf(
  best_s: number,
  se_s: number,
  count: number,
  lag_s: Float64Array,
  cost: Float64Array,
): LagCurveSummary {
  return {
    best_s: rounded(best_s, SECOND_DIGITS),
    se_s: rounded(se_s, SECOND_DIGITS),
    count,
    lag_s: Array.from(lag_s, (at_s) => rounded(at_s, SECOND_DIGITS)),
    cost: Array.from(cost, (at) => rounded(at, COST_DIGITS)),
  };
}

function every(step: number, column: Float64Array): Float64Array {
  return column.filter((_, i) => i % step === 0);
}

function rounded(number: number, digits: number): number {
  const scale = 10 ** digits;
  return Math.round(number * scale) / scale;
}
