/** The lags as summary.json names them: one row a field and machine that cut in it. */
import { finiteOrNull } from '../columns.ts';
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
        transport_s: finiteOrNull(lag.transport_s),
        mixing_s: finiteOrNull(lag.mixing_s),
        transport_se_s: finiteOrNull(lag.transport_se_s),
        method: lag.method,
        applied_s: lag.applied_s,
        unsmear_noise_gain: credit[f].noise_gains[p] === 1 ? null : finiteOrNull(credit[f].noise_gains[p]),
        neighbour_transport_s: finiteOrNull(lag.neighbour_transport_s),
      };
    }),
  );
}
