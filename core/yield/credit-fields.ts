/** Every machine's grain credited to the rows of all its fields, in the order in which it drove. */
import { columnOf } from '../columns.ts';
import type { FieldLags } from '../lag/field-lags.ts';
import type { MachineGrain } from '../signal/grain-of-machine.ts';
import type { FieldGround } from '../track/field-ground.ts';
import { inTimeOrder, timeOrder } from '../track/time-order.ts';
import { beamSpans, type Credit, creditSpans } from './credit.ts';
import { mixingOverNoise } from './mixing-over-noise.ts';
import { unsmearPlot } from './unsmear-plot.ts';

/** What passed between rows, before the first and after the last: it belongs to the field but to no point. */
export interface CreditRemainder {
  amount: number;
  fill_weighted: number;
  running_s: number;
}

/** Grain of one plot. Amounts are m³ or kg, by the passage's basis. */
export interface PlotCredit {
  readonly amount: Float64Array;
  /** As `GrainPassage.fill_weighted`; zeros where the log does not show heaps. */
  readonly fill_weighted: Float64Array;
  readonly running_s: Float64Array;
  readonly remainder: Readonly<CreditRemainder>;
  /** When each row's grain passed the beam. */
  readonly beam0_s: Float64Array;
  readonly beam1_s: Float64Array;
}

/** What is asked of the credit beyond the shift. */
export interface CreditOptions {
  /** Iterations of unsmearing; 0 leaves the grain as it came. */
  readonly unsmear_iterations: number;
}

export interface FieldCredit {
  /** As `FieldGround.plots`. */
  readonly plots: readonly PlotCredit[];
  /** By plot: noise that unsmearing added; 1 without. */
  readonly noise_gains: readonly number[];
  /** By plot: error by mixing over scatter before any unsmearing; NaN where that cannot be told. */
  readonly mixing_over_noise: readonly number[];
}

/** Credits of all fields, in their order. Every amount of every passage is in exactly one row or remainder. */
export function creditFields(
  fields: readonly FieldGround[],
  lags: readonly FieldLags[],
  grains: readonly MachineGrain[],
  { unsmear_iterations }: CreditOptions,
): FieldCredit[] {
  const credits = fields.map(({ plots }) => plots.map((plot) => emptyCredit(plot.rows.t0_s.length)));
  for (let r = 0; r < grains.length; r++) {
    const plots = plotsOfRecord(fields, lags, credits, r);
    const order = timeOrder(plots.map(({ rows }) => rows.t0_s));
    const shift_s = columnOf(order.part.length, (k) => plots[order.part[k]].shift_s);
    const t0_s = inTimeOrder(
      order,
      plots.map(({ rows }) => rows.t0_s),
    );
    const t1_s = inTimeOrder(
      order,
      plots.map(({ rows }) => rows.t1_s),
    );
    const spans = beamSpans(t0_s, t1_s, shift_s);
    const { passage, running } = grains[r];
    const shares: readonly (readonly [keyof CreditRemainder, Credit])[] = [
      ['amount', creditSpans(spans, passage.t_s, passage.cumulative)],
      ['running_s', creditSpans(spans, running.t_s, running.cumulative_s)],
      ...(passage.fill_weighted === undefined
        ? []
        : [['fill_weighted', creditSpans(spans, passage.t_s, passage.fill_weighted)] as const]),
    ];
    for (let k = 0; k < order.row.length; k++) {
      const { credit } = plots[order.part[k]];
      credit.beam0_s[order.row[k]] = t0_s[k] + shift_s[k];
      credit.beam1_s[order.row[k]] = t1_s[k] + shift_s[k];
    }
    for (const [name, share] of shares) {
      for (let k = 0; k < order.row.length; k++) {
        const { credit } = plots[order.part[k]];
        credit[name][order.row[k]] = share.row[k];
        credit.remainder[name] += share.after[k] + (k === 0 ? share.before : 0);
      }
    }
  }
  return credits.map((plots, f) => {
    const sharp = plots.map((credit, p) =>
      unsmear_iterations > 0
        ? unsmearPlot(credit, lags[f].plots[p], grains[fields[f].plots[p].record].passage, unsmear_iterations)
        : { credit, noise_gain: 1 },
    );
    return {
      plots: sharp.map(({ credit }) => credit),
      noise_gains: sharp.map(({ noise_gain }) => noise_gain),
      mixing_over_noise: plots.map(({ amount }, p) => {
        const { rows, fresh_area_m2 } = fields[f].plots[p];
        const { t0_s, t1_s, pass } = rows;
        return mixingOverNoise({ t0_s, t1_s, pass, fresh_area_m2, amount }, lags[f].plots[p].lag.mixing_s);
      }),
    };
  });
}

/** Plots of one record in all fields, each with its shift and its credit. */
function plotsOfRecord(
  fields: readonly FieldGround[],
  lags: readonly FieldLags[],
  credits: readonly (readonly ReturnType<typeof emptyCredit>[])[],
  record: number,
) {
  return fields.flatMap(({ plots }, f) =>
    plots.flatMap((plot, p) =>
      plot.record === record
        ? [{ rows: plot.rows, shift_s: lags[f].plots[p].lag.applied_s, credit: credits[f][p] }]
        : [],
    ),
  );
}

function emptyCredit(count: number) {
  return {
    amount: new Float64Array(count),
    fill_weighted: new Float64Array(count),
    running_s: new Float64Array(count),
    remainder: { amount: 0, fill_weighted: 0, running_s: 0 } satisfies CreditRemainder,
    beam0_s: new Float64Array(count),
    beam1_s: new Float64Array(count),
  };
}
