/** Every machine's grain credited to the rows of all its fields, in the order in which it drove. */
import type { FieldLags } from '../lag/field-lags.ts';
import type { MachineGrain } from '../signal/grain-of-machine.ts';
import type { FieldGround } from '../track/field-ground.ts';
import { beamSpans, type Credit, creditSpans } from './credit.ts';
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
}

/** A row of a plot of a field. */
interface PlotRow {
  readonly f: number;
  readonly p: number;
  readonly row: number;
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
    const order = rowsOfRecord(fields, r);
    const shift_s = Float64Array.from(order, ({ f, p }) => lags[f].plots[p].lag.applied_s);
    const t0_s = Float64Array.from(order, ({ f, p, row }) => fields[f].plots[p].rows.t0_s[row]);
    const t1_s = Float64Array.from(order, ({ f, p, row }) => fields[f].plots[p].rows.t1_s[row]);
    const spans = beamSpans(t0_s, t1_s, shift_s);
    const { passage, running } = grains[r];
    const shares = {
      amount: creditSpans(spans, passage.t_s, passage.cumulative),
      running_s: creditSpans(spans, running.t_s, running.cumulative_s),
      ...(passage.fill_weighted && {
        fill_weighted: creditSpans(spans, passage.t_s, passage.fill_weighted),
      }),
    };
    order.forEach(({ f, p, row }, i) => {
      const credit = credits[f][p];
      credit.beam0_s[row] = t0_s[i] + shift_s[i];
      credit.beam1_s[row] = t1_s[i] + shift_s[i];
      for (const [name, share] of Object.entries(shares) as [keyof CreditRemainder, Credit][]) {
        credit[name][row] = share.row[i];
        credit.remainder[name] += share.after[i] + (i === 0 ? share.before : 0);
      }
    });
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
    };
  });
}

/** Rows of one record in all fields, in time order. */
function rowsOfRecord(fields: readonly FieldGround[], record: number): PlotRow[] {
  const order = fields.flatMap(({ plots }, f) =>
    plots.flatMap((plot, p) =>
      plot.record === record ? Array.from(plot.rows.t0_s, (_, row): PlotRow => ({ f, p, row })) : [],
    ),
  );
  const startOf = ({ f, p, row }: PlotRow) => fields[f].plots[p].rows.t0_s[row];
  return order.sort((a, b) => startOf(a) - startOf(b));
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
