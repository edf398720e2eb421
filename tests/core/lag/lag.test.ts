/** Both estimators on a small field built here by hand, with the lag and the mixing that went in. */
import { describe, expect, it } from 'vitest';
import type { CutRecord } from '../../../core/lag/cut-record.ts';
import { estimateEndsOfPasses } from '../../../core/lag/ends-of-passes.ts';
import { chooseLag, enteredLag } from '../../../core/lag/lag-choice.ts';
import { estimateNeighbourAgreement } from '../../../core/lag/neighbour-agreement.ts';
import { responseMismatch } from '../../../core/lag/response-mismatch.ts';
import type { GrainPassage } from '../../../core/signal/grain-passage.ts';

const SPEED_M_S = 2;
const HEADER_M = 9;
const PASS_S = 150;
const TURN_S = 14;

/** Yield surface, kg/m²: waves along and across, so that a wrong shift shows. */
const yieldAt = (east_m: number, north_m: number) =>
  1 + 0.2 * Math.sin(north_m / 17) + 0.15 * Math.cos(east_m / 23 + north_m / 31);

/** Passes up and down, and what came out of the machine for a lag and a first-order mixing, stepped at 0.05 s. */
function drive(passes: number, transport_s: number, mixing_s: number, surface = yieldAt) {
  const dt = 0.05;
  const inflow: number[] = [];
  const rows: number[][] = [];
  const pass: number[] = [];
  for (let p = 0; p < passes; p++) {
    const up = p % 2 === 0;
    for (let s = 0; s < PASS_S; s++) {
      const t0 = p * (PASS_S + TURN_S) + s;
      const along = (up ? s + 0.5 : PASS_S - s - 0.5) * SPEED_M_S;
      rows.push([t0, t0 + 1, SPEED_M_S * HEADER_M, p * HEADER_M, along, up ? 0 : Math.PI]);
      pass.push(p);
    }
    for (let k = 0; k < (PASS_S + TURN_S) / dt; k++) {
      const along = (up ? k * dt : PASS_S - k * dt) * SPEED_M_S;
      inflow.push(k * dt < PASS_S ? surface(p * HEADER_M, along) * SPEED_M_S * HEADER_M * dt : 0);
    }
  }
  const t_s = [0];
  const cumulative = [0];
  let held = 0;
  const decay = Math.exp(-dt / mixing_s);
  for (let k = 0; k < inflow.length + 60 / dt; k++) {
    const at = k - Math.round(transport_s / dt);
    held = held * decay + (1 - decay) * (at >= 0 && at < inflow.length ? inflow[at] : 0);
    t_s.push((k + 1) * dt);
    cumulative.push(cumulative[k] + held);
  }
  const record: CutRecord = {
    t0_s: Float64Array.from(rows, (r) => r[0]),
    t1_s: Float64Array.from(rows, (r) => r[1]),
    fresh_area_m2: Float64Array.from(rows, (r) => r[2]),
    east_m: Float64Array.from(rows, (r) => r[3]),
    north_m: Float64Array.from(rows, (r) => r[4]),
    heading_rad: Float64Array.from(rows, (r) => r[5]),
    width_share: new Float64Array(rows.length).fill(1),
    header_width_m: HEADER_M,
  };
  const passage: GrainPassage = {
    t_s: Float64Array.from(t_s),
    cumulative: Float64Array.from(cumulative),
    basis: 'mass',
  };
  return { record, passage, pass: Int32Array.from(pass) };
}

describe('lag from the ends of passes', () => {
  for (const [transport_s, mixing_s] of [
    [8, 2],
    [12.3, 3.4],
    [19, 4],
    [-3, 2.5],
  ]) {
    it(`finds ${transport_s} s and a mixing of ${mixing_s} s`, () => {
      const { record, passage } = drive(14, transport_s, mixing_s);
      const found = estimateEndsOfPasses(record, passage);
      expect(found?.transport_s).toBeCloseTo(transport_s, 0.7);
      expect(Math.abs((found?.transport_s ?? 0) - transport_s)).toBeLessThan(0.1);
      expect(Math.abs((found?.mixing_s ?? 0) - mixing_s)).toBeLessThan(0.15);
      expect(found?.transport_se_s).toBeLessThan(0.2);
    });
  }

  it('has no answer with too few gaps or without grain', () => {
    const { record, passage } = drive(3, 12, 3);
    expect(estimateEndsOfPasses(record, passage)).toBeUndefined();
    const none: GrainPassage = { ...passage, cumulative: new Float64Array(passage.t_s.length) };
    expect(estimateEndsOfPasses(drive(14, 12, 3).record, none)).toBeUndefined();
  });
});

describe('lag from neighbours', () => {
  for (const shift of [
    [10, 2],
    [-7, 2],
  ]) {
    it(`finds the whole shift of ${shift[0]} + ${shift[1]} s, negative ones too`, () => {
      const { record, passage, pass } = drive(14, shift[0], shift[1]);
      const found = estimateNeighbourAgreement(record, pass, passage);
      expect(Math.abs((found?.shift_s ?? 99) - shift[0] - shift[1])).toBeLessThan(0.4);
    });
  }

  it('refuses when the field is even', () => {
    const { record, passage, pass } = drive(14, 10, 2, () => 1);
    expect(estimateNeighbourAgreement(record, pass, passage)).toBeUndefined();
  });
});

describe('response mismatch', () => {
  it('follows the analytic first-order response at the start and end of a pass', () => {
    const { record } = drive(1, 0, 3);
    const mixing_s = 3;
    const mismatch = responseMismatch(record, mixing_s);
    // mean over [t, t+1] of 1 − exp(−(t + τ)/τ), minus one
    const filling = (t: number) =>
      -(mixing_s * (Math.exp(-(t + mixing_s) / mixing_s) - Math.exp(-(t + 1 + mixing_s) / mixing_s)));
    expect(mismatch[0]).toBeCloseTo(filling(0), 3);
    expect(mismatch[6]).toBeCloseTo(filling(6), 3);
    expect(Math.abs(mismatch[75])).toBeLessThan(1e-6);
    // two seconds before the end, the shifted window is one second into running out
    const out = mixing_s * (Math.exp(-1 / mixing_s) - Math.exp(-2 / mixing_s)) - 1;
    expect(mismatch[PASS_S - 2]).toBeCloseTo(out, 3);
  });

  it('is zero without mixing', () => {
    expect(Math.max(...responseMismatch(drive(1, 0, 3).record, 0).map(Math.abs))).toBeLessThan(1e-9);
  });
});

describe('choice of the lag', () => {
  const evidence = { ends: undefined, neighbours: undefined, entered: undefined, log: 'beam' } as const;

  it('assumes and says so when nothing can be told', () => {
    const { lag, notices } = chooseLag(evidence, 'Home, c1');
    expect(lag.method).toBe('assumed');
    expect(notices[0].code).toBe('lag_assumed');
  });

  it('lets an entry win, the most particular one', () => {
    const entered = enteredLag(
      [
        { transport_s: 9 },
        { machine: 'c1', field: 'Home', transport_s: 13, mixing_s: 2 },
        { machine: 'c1', transport_s: 10 },
      ],
      'Home',
      'c1',
    );
    expect(chooseLag({ ...evidence, entered }, 'Home, c1').lag).toMatchObject({
      transport_s: 13,
      mixing_s: 2,
      applied_s: 15,
      method: 'entered',
    });
  });

  it('weighs an entered lag against neighbours with the entered mixing', () => {
    const neighbours = {
      shift_s: 14.6,
      shift_se_s: 0.2,
      pairs: 900,
      curve: { shift_s: new Float64Array(), disagreement: new Float64Array() },
    };
    const agreed = chooseLag(
      { ...evidence, log: 'flow', neighbours, entered: { transport_s: 12, mixing_s: 2.8 } },
      'Home, c1',
    );
    expect(agreed.lag.neighbour_transport_s).toBeCloseTo(11.8, 9);
    expect(agreed.notices).toEqual([]);
    const off = chooseLag(
      { ...evidence, neighbours, entered: { transport_s: 9, mixing_s: 2.8 } },
      'Home, c1',
    );
    expect(off.notices[0].text).toContain('9.0 s of transport lag was entered');
    // 3 s apart says nothing when the neighbours are good to 1.5 s
    const vague = { ...neighbours, shift_se_s: 1.5 };
    expect(
      chooseLag({ ...evidence, neighbours: vague, entered: { transport_s: 9, mixing_s: 2.8 } }, 'Home, c1')
        .notices,
    ).toEqual([]);
    // a mixing by hand moves the transport, not the shift that the neighbours found
    const mixed = chooseLag({ ...evidence, neighbours, entered: { mixing_s: 2 } }, 'Home, c1').lag;
    expect(mixed).toMatchObject({ method: 'neighbour_agreement', transport_s: 12.6, applied_s: 14.6 });
  });

  it('leaves a flow log as logged and reports that it was shifted too far', () => {
    const neighbours = {
      shift_s: -4.3,
      shift_se_s: 0.4,
      pairs: 900,
      curve: { shift_s: new Float64Array(), disagreement: new Float64Array() },
    };
    const { lag, notices } = chooseLag({ ...evidence, neighbours, log: 'flow' }, 'Home, c1');
    expect(lag.applied_s).toBe(0);
    expect(lag.neighbour_transport_s).toBe(-4.3);
    expect(notices[0].code).toBe('log_over_shifted');
  });
});
