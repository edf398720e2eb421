/** Every machine's grain credited to the rows of all its fields, in the order in which it drove. */
import type { FieldLags } from '../lag/field-lags.ts';
import type { MachineGrain } from '../signal/grain-of-machine.ts';
import type { FieldGround } from '../track/field-ground.ts';
import { creditGrain } from './credit.ts';

/** Grain of one plot. Amounts are m³ or kg, by the passage's basis. */
export interface PlotCredit {
  readonly amount: Float64Array;
  readonly running_s: Float64Array;
  /** What passed between rows, before the first and after the last: it belongs to the field but to no point. */
  readonly remainder: number;
  readonly remainder_running_s: number;
  /** When each row's grain passed the beam. */
  readonly beam0_s: Float64Array;
  readonly beam1_s: Float64Array;
}

export interface FieldCredit {
  /** As `FieldGround.plots`. */
  readonly plots: readonly PlotCredit[];
}

type Mutable = { -readonly [K in keyof PlotCredit]: PlotCredit[K] };

/** Credits of all fields, in their order. Every amount of every passage is in exactly one row or remainder. */
export function creditFields(
  fields: readonly FieldGround[],
  lags: readonly FieldLags[],
  grains: readonly MachineGrain[],
): FieldCredit[] {
  const credits = fields.map(({ plots }) => plots.map((plot) => emptyCredit(plot.rows.t0_s.length)));
  for (let r = 0; r < grains.length; r++) {
    const order: { f: number; p: number; row: number }[] = [];
    fields.forEach(({ plots }, f) => {
      plots.forEach((plot, p) => {
        if (plot.record !== r) return;
        for (let row = 0; row < plot.rows.t0_s.length; row++) order.push({ f, p, row });
      });
    });
    const rowsOf = (at: { f: number; p: number }) => fields[at.f].plots[at.p].rows;
    order.sort((a, b) => rowsOf(a).t0_s[a.row] - rowsOf(b).t0_s[b.row]);
    const shift_s = Float64Array.from(order, (at) => lags[at.f].plots[at.p].lag.applied_s);
    const t0_s = Float64Array.from(order, (at) => rowsOf(at).t0_s[at.row]);
    const t1_s = Float64Array.from(order, (at) => rowsOf(at).t1_s[at.row]);
    const solution = creditGrain(t0_s, t1_s, shift_s, grains[r].passage, grains[r].running);
    order.forEach((at, i) => {
      const credit: Mutable = credits[at.f][at.p];
      credit.amount[at.row] = solution.amount[i];
      credit.running_s[at.row] = solution.running_s[i];
      credit.beam0_s[at.row] = t0_s[i] + shift_s[i];
      credit.beam1_s[at.row] = t1_s[i] + shift_s[i];
      credit.remainder += solution.remainder_after[i] + (i === 0 ? solution.remainder_before : 0);
      credit.remainder_running_s += solution.running_after_s[i] + (i === 0 ? solution.running_before_s : 0);
    });
  }
  return credits.map((plots) => ({ plots }));
}

function emptyCredit(count: number): PlotCredit {
  return {
    amount: new Float64Array(count),
    running_s: new Float64Array(count),
    remainder: 0,
    remainder_running_s: 0,
    beam0_s: new Float64Array(count),
    beam1_s: new Float64Array(count),
  };
}
