/** The lags as summary.json names them: one row a field and machine that cut in it. */
import type { LagSummary } from '../result.ts';
import type { FieldSheet, MachineSheet } from '../season.ts';
import type { MachineRecord } from '../signal/machine-record.ts';
import type { GroundSolution } from '../track/field-ground.ts';
import type { FieldLags } from './field-lags.ts';

/** For a log left as logged, `neighbour_transport_s` carries the best lag found, negative when it was over-shifted. */
export function lagSummaries(
  season: {
    readonly machines: readonly Pick<MachineSheet, 'id'>[];
    readonly fields: readonly Pick<FieldSheet, 'name'>[];
  },
  records: readonly MachineRecord[],
  ground: GroundSolution,
  lags: readonly FieldLags[],
  credit: readonly { readonly noise_gains: readonly number[] }[],
): LagSummary[] {
  return ground.fields.flatMap(({ field, plots }, f) =>
    plots.map((plot, p) => {
      const { lag } = lags[f].plots[p];
      return {
        field: season.fields[field].name,
        machine: season.machines[records[plot.record].machine].id,
        transport_s: orNull(lag.transport_s),
        mixing_s: orNull(lag.mixing_s),
        transport_se_s: orNull(lag.transport_se_s),
        method: lag.method,
        applied_s: lag.applied_s,
        unsmear_noise_gain: credit[f].noise_gains[p] === 1 ? null : orNull(credit[f].noise_gains[p]),
        neighbour_transport_s: orNull(lag.neighbour_transport_s),
      };
    }),
  );
}

function orNull(x: number): number | null {
  return Number.isFinite(x) ? x : null;
}
