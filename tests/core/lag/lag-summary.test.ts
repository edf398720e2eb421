import { expect, it } from 'vitest';
import type { FieldLags } from '../../../core/lag/field-lags.ts';
import { lagSummaries } from '../../../core/lag/lag-summary.ts';
import type { Season } from '../../../core/season.ts';
import type { MachineRecord } from '../../../core/signal/machine-record.ts';
import type { GroundSolution } from '../../../core/track/field-ground.ts';

const season = {
  fields: [{ name: 'Idle' }, { name: 'Home' }],
  machines: [{ id: 'c1' }, { id: 'c2' }],
} as unknown as Season;

it('lags are named by field and machine; what is not known is null', () => {
  const lag = {
    transport_s: 12,
    mixing_s: 3,
    transport_se_s: Number.NaN,
    method: 'entered',
    applied_s: 15,
    neighbour_transport_s: Number.NaN,
    moisture_s: 15,
  };
  const neighbours = {
    shift_s: 14.5,
    shift_se_s: 0.2,
    pairs: 300,
    curve: { shift_s: Float64Array.of(14, 14.5, 15), disagreement: Float64Array.of(0.61234, 0.4, 0.7) },
  };
  const lags = [
    { plots: [{ lag, neighbours }, { lag: { ...lag, transport_s: -4, neighbour_transport_s: -3.5 } }] },
  ];
  const ground = { fields: [{ field: 1, plots: [{ record: 1 }, { record: 0 }] }] };
  const found = lagSummaries(
    season,
    [{ machine: 0 }, { machine: 1 }] as MachineRecord[],
    ground as unknown as GroundSolution,
    lags as unknown as FieldLags[],
    [{ noise_gains: [1, 2.5] }],
  );
  expect(found.map(({ field, machine }) => [field, machine])).toEqual([
    ['Home', 'c2'],
    ['Home', 'c1'],
  ]);
  expect(found[0]).toMatchObject({
    transport_s: 12,
    transport_se_s: null,
    neighbour_transport_s: null,
    applied_s: 15,
    unsmear_noise_gain: null,
  });
  expect(found[0].curve).toEqual({
    ends_of_passes: null,
    // less 3 s of mixing; every other point
    neighbour_agreement: { best_s: 11.5, se_s: 0.2, count: 300, lag_s: [11, 12], cost: [0.6123, 0.7] },
  });
  expect(found[1]).toMatchObject({ transport_s: -4, neighbour_transport_s: -3.5, unsmear_noise_gain: 2.5 });
});
