/** Points of one field worked by hand: two machines, a turn, a shift of 10 s. */
import { describe, expect, it } from 'vitest';
import type { MassFit } from '../../../core/calibrate/season-fit.ts';
import type { FieldLags } from '../../../core/lag/field-lags.ts';
import { SCREENING_RULES } from '../../../core/result.ts';
import type { MachineGrain } from '../../../core/signal/grain-of-machine.ts';
import type { MachineRecord } from '../../../core/signal/machine-record.ts';
import type { FieldGround } from '../../../core/track/field-ground.ts';
import type { Plot } from '../../../core/track/ground-of-field.ts';
import { allocateGroundRows } from '../../../core/track/ground-rows.ts';
import { creditFields } from '../../../core/yield/credit-fields.ts';
import { type FieldPointsInput, pointsOfField, screenField } from '../../../core/yield/field-points.ts';

const SHIFT_S = 10;

/** Rows of one second at 2 m/s under 9 m, from `from_s`; the last one is a turn. */
function plot(record: number, from_s: number): Plot {
  const rows = allocateGroundRows(4);
  for (let i = 0; i < 4; i++) {
    rows.t0_s[i] = from_s + i;
    rows.t1_s[i] = from_s + i + 1;
    rows.pass[i] = i < 3 ? 0 : -1;
    rows.north1_m[i] = 2;
    rows.header_width_m[i] = 9;
    rows.speed_m_s[i] = 2;
    rows.distance_m[i] = 2;
    rows.position_se_m[i] = 0.1;
  }
  const cut = (x: number) => Float64Array.from(rows.pass, (pass) => (pass < 0 ? 0 : x));
  return {
    record,
    rows,
    cut_width_m: cut(9),
    fresh_area_m2: cut(18),
    outside: new Uint8Array(4),
    longitude_deg: new Float64Array(4).fill(-93),
    latitude_deg: new Float64Array(4).fill(42),
  };
}

/** A kilogram and a half a second from 0 to 60 s, of which the beam has seen a litre a kilogram. */
const grain = {
  passage: { t_s: Float64Array.of(0, 60), cumulative: Float64Array.of(0, 0.09), basis: 'volume' },
  running: { t_s: Float64Array.of(0, 60), cumulative_s: Float64Array.of(0, 60) },
  paddle_scatter_m3: 0.0001,
  zero_se_m3_s: 0,
} as unknown as MachineGrain;

const record = (machine: number) =>
  ({
    machine,
    grain: {
      kind: 'paddles',
      paddles: {
        t_s: Float64Array.from({ length: 600 }, (_, i) => i / 10),
        slots: new Float64Array(600).fill(1),
      },
    },
  }) as unknown as MachineRecord;

const fit = {
  k: 1.1,
  zero_kg_s: 0.1,
  curvature: 0,
  moisture: 0,
  covariance: new Float64Array(16),
};
const ground = { field: 0, plots: [plot(0, 0), plot(1, 1.5)] } as unknown as FieldGround;
const lag = { applied_s: SHIFT_S, moisture_s: SHIFT_S, mixing_s: 0 };
const lags = {
  plots: ground.plots.map(({ rows, fresh_area_m2 }) => ({
    lag,
    record: { t0_s: rows.t0_s, t1_s: rows.t1_s, fresh_area_m2 },
  })),
} as unknown as FieldLags;
const grains = [grain, grain];
const [credit] = creditFields([ground], [lags], grains, { unsmear_iterations: 0 });

const input: FieldPointsInput = {
  sheet: { name: 'Home', crop: 'corn' },
  crop: 'corn',
  standard_moisture_pct: 15.5,
  fallback_moisture_pct: 15.5,
  machines: [{ id: 'c1' }, { id: 'c2' }],
  records: [record(0), record(1)],
  grains,
  moistures: [
    { t_s: Float64Array.of(SHIFT_S + 0.5), moisture_pct: Float64Array.of(20) },
    { t_s: new Float64Array(), moisture_pct: new Float64Array() },
  ],
  ground,
  lags,
  credit,
  massFitOf: () => ({ fit, bulk_density_kg_m3: 1000 }) as unknown as MassFit,
  loads: [
    { ticket: 'A', machine: 'c1', start_s: 0, end_s: SHIFT_S + 1 },
    { ticket: 'B', machine: 'c1', start_s: SHIFT_S + 1, end_s: SHIFT_S + 3 },
    { ticket: 'C', machine: 'c2', start_s: SHIFT_S, end_s: 60 },
  ],
};
const unscreened = pointsOfField(input);
const { points, plots } = screenField(unscreened, { not_cutting: {} }, [], {
  machines: ['c1', 'c2'],
  epoch_utc_s: 0,
});

describe('points of a field', () => {
  it('stand in the order of time over all machines', () => {
    expect([...points.t_s]).toEqual([0.5, 1.5, 2, 2.5, 3, 3.5, 4, 5]);
    expect([...points.machine]).toEqual([0, 0, 1, 0, 1, 0, 1, 1]);
    expect([...points.pass]).toEqual([0, 0, 0, 0, 0, -1, 0, -1]);
    expect(plots.map(({ machine, rows }) => [machine, ...rows])).toEqual([
      ['c1', 0, 1, 3, 5],
      ['c2', 2, 4, 6, 7],
    ]);
  });

  it('have the mass that passed later, by gain and zero error', () => {
    // 1.5 kg and a second of running
    for (const kg of points.mass_kg) expect(kg).toBeCloseTo(1.1 * 1.5 + 0.1, 9);
    expect(points.mass_flow_kg_s[0]).toBeCloseTo(1.75, 9);
    expect(points.volume_flow_m3_s[0]).toBeCloseTo(0.0015, 9);
    // 60 s in all, four of them in points
    expect(plots[0].remainder_kg).toBeCloseTo(56 * 1.75, 9);
    expect(plots[0].totals).toEqual({
      x_kg: expect.closeTo(90, 9),
      running_s: expect.closeTo(60, 9),
      // 20 % moisture is 5 points above that at which the gain is k
      xm_kg: expect.closeTo(0.05 * 90, 9),
      x2_kg: 0,
    });
  });

  it('have the test weight of their load where the fit asks for it, else that of the loads together', () => {
    const weighed = pointsOfField({
      ...input,
      massFitOf: () =>
        ({ fit: { ...fit, test_weight: -0.5 }, bulk_density_kg_m3: 1000 }) as unknown as MassFit,
      test_weights: { shares: Float64Array.of(0.04, Number.NaN, 0), usual_kg_m3: 950 },
    }).points.mass_kg;
    // 1.5 l: load A is 4 % above the usual 950, B unknown (1000), C the usual
    expect(weighed[0]).toBeCloseTo(0.0015 * 950 * 1.04 * (1.1 - 0.5 * 0.04) + 0.1, 9);
    expect(weighed[1]).toBeCloseTo(0.0015 * 1000 * (1.1 - 0.5 * (1000 / 950 - 1)) + 0.1, 9);
    expect(weighed[2]).toBeCloseTo(0.0015 * 950 * 1.1 + 0.1, 9);
  });

  it('take moisture from the sensor, else the fallback, and yield by it', () => {
    expect([...points.moisture_pct]).toEqual([20, 20, 15.5, 20, 15.5, 20, 15.5, 15.5]);
    expect(points.yield_kg_m2[0]).toBeCloseTo(((1.75 / 18) * 80) / 84.5, 9);
    expect(points.yield_kg_m2[2]).toBeCloseTo(1.75 / 18, 9);
    expect(points.yield_kg_m2[5]).toBeNaN();
    expect(points.yield_se_kg_m2[0]).toBeGreaterThan(0);
    expect(points.yield_se_kg_m2[5]).toBeNaN();
  });

  it('know the load that the grain went into when it passed the beam', () => {
    expect([...points.load]).toEqual([0, 1, 2, 1, 2, -1, 2, 2]);
  });

  it('are screened by the rules in force only', () => {
    expect([...points.screened_by].map((rule) => SCREENING_RULES[rule - 1])).toEqual([
      ...new Array(5).fill(undefined),
      'not_cutting',
      undefined,
      'not_cutting',
    ]);
  });
});
