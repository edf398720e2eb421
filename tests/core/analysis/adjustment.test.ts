/** Machines made to agree, fields scaled to settlements: the pattern unchanged, what was before kept. */
import { describe, expect, it } from 'vitest';
import { agreeMachines, settleFields } from '../../../core/analysis/adjustment.ts';
import { estimateAgreements } from '../../../core/analysis/machine-agreement.ts';
import { rescaleField } from '../../../core/analysis/rescale.ts';
import type { FieldPoints, FieldSummary } from '../../../core/result.ts';
import type { ScreenedField } from '../../../core/yield/field-points.ts';
import { Random } from '../../synthetic/random.ts';

const WIDTH_M = 9;
const PASSES = 12;
const ALONG = 60;

/** Two machines that take every other pass of one field, the second reading `more` times as much. */
function twoMachines(more: number, seed = 1): ScreenedField {
  const random = new Random(seed, 'agreement');
  const n = PASSES * ALONG;
  const pass = Int32Array.from({ length: n }, (_, i) => Math.floor(i / ALONG));
  const machine = pass.map((p) => p % 2);
  const north_m = Float64Array.from({ length: n }, (_, i) => 2 * (i % ALONG));
  const yield_kg_m2 = Float64Array.from(
    north_m,
    (north, i) =>
      (1 + 0.2 * Math.sin(north / 20)) * (machine[i] === 1 ? more : 1) * (1 + 0.05 * random.normal()),
  );
  const mass_kg = yield_kg_m2.map((kg) => kg * WIDTH_M * 2);
  const points = {
    field: 'Home',
    crop: 'corn',
    t_s: Float64Array.from({ length: n }, (_, i) => i),
    pass,
    machine,
    east_m: Float64Array.from(pass, (p) => p * WIDTH_M),
    north_m,
    cut_width_m: new Float64Array(n).fill(WIDTH_M),
    screened_by: new Uint8Array(n),
    yield_kg_m2,
    yield_se_kg_m2: yield_kg_m2.map((kg) => 0.05 * kg),
    mass_kg,
    mass_flow_kg_s: mass_kg,
  } as unknown as FieldPoints;
  const rowsOf = (which: number) => Int32Array.from([...machine.keys()].filter((i) => machine[i] === which));
  const totals = { x_kg: 0, running_s: 0, x2_kg: 0, xm_kg: 0 };
  const plots = ['c1', 'c2'].map((id, which) => ({
    machine: id,
    rows: rowsOf(which),
    remainder_kg: 10,
    totals,
  }));
  return { points, plots };
}

const MACHINES = ['c1', 'c2'];
const codes = (notices: readonly { code: string }[]) => notices.map(({ code }) => code);
const sum = (column: Float64Array) => column.reduce((total, element) => total + element, 0);

describe('agreement of two machines', () => {
  it('finds the ratio within its error, and proposes nothing where they agree', () => {
    let inside = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const [found] = estimateAgreements([twoMachines(1.04, seed).points], MACHINES);
      expect(found).toMatchObject({ machine: 'c1', with: 'c2', crop: 'corn', passes: 6 });
      if (Math.abs(found.ratio - 1 / 1.04) < 2 * found.ratio_se) inside++;
    }
    // a median over six passes: its error is rough
    expect(inside).toBeGreaterThanOrEqual(32);
    const proposed = (more: number) =>
      Array.from(
        { length: 40 },
        (_, i) => estimateAgreements([twoMachines(more, i + 1).points], MACHINES)[0],
      ).filter((each) => each.proposed).length;
    expect(proposed(1)).toBeLessThanOrEqual(3);
    expect(proposed(1.04)).toBeGreaterThanOrEqual(36);
  });

  it('is proposed and not applied unless it is asked for', () => {
    const field = twoMachines(1.04);
    const told = agreeMachines([field], MACHINES, {});
    expect(told.fields[0]).toBe(field);
    expect(codes(told.notices)).toEqual(['machines_disagree']);
    expect(told.notices[0].text).toMatch(
      /^c1 shows \d\.\d % less corn than c2 on 6 passes side by side \(± \d\.\d %\)/,
    );
  });

  it('applied, multiplies the machine that was named and leaves the other alone', () => {
    const field = twoMachines(1.04);
    const { fields, agreements, notices } = agreeMachines([field], MACHINES, {
      agreements: [{ machine: 'c2', with: 'c1' }],
    });
    expect(notices).toEqual([]);
    expect(agreements[0]).toMatchObject({ machine: 'c2', with: 'c1' });
    expect(agreements[0].ratio * agreements[0].applied_factor).toBeCloseTo(1, 12);
    const [own, other] = field.plots.map(({ rows }) => rows[5]);
    expect(fields[0].points.mass_kg[own]).toBe(field.points.mass_kg[own]);
    expect(fields[0].points.mass_kg[other]).toBeCloseTo(
      agreements[0].applied_factor * field.points.mass_kg[other],
      9,
    );
    expect(fields[0].plots[1].remainder_kg).toBeCloseTo(10 * agreements[0].applied_factor, 12);
    expect(Math.abs(agreements[0].applied_factor - 1 / 1.04)).toBeLessThan(0.02);
  });

  it('without ground side by side says so', () => {
    const alone = agreeMachines([], MACHINES, { agreements: [{ machine: 'c2', with: 'c1' }] });
    expect(codes(alone.notices)).toEqual(['agreement_without_evidence']);
  });
});

describe('settlement', () => {
  const summaryOf = (name: string, mass_std_kg: number): FieldSummary =>
    ({ name, mass_std_kg, mass_wet_kg: 1.1 * mass_std_kg }) as FieldSummary;

  it('scales a set of fields to its total, pattern unchanged, and keeps both numbers', () => {
    const field = twoMachines(1);
    const before = [summaryOf('Home', 60_000), summaryOf('Creek', 40_000)];
    const { fields, reconciled, notices } = settleFields([field], before, {
      settlements: [{ fields: ['Home', 'Creek'], settlement_kg: 103_000 }],
    });
    expect(notices).toEqual([]);
    expect(reconciled.get('Home')).toMatchObject({
      factor: 1.03,
      settlement_kg: 103_000,
      mass_std_kg: 60_000,
      mass_wet_kg: expect.closeTo(66_000, 6),
    });
    expect(sum(fields[0].points.mass_kg)).toBeCloseTo(1.03 * sum(field.points.mass_kg), 6);
    const pattern = fields[0].points.yield_kg_m2.map((kg, i) => kg / field.points.yield_kg_m2[i]);
    for (const ratio of pattern) expect(ratio).toBeCloseTo(1.03, 12);
    expect(fields[0].points.screened_by).toBe(field.points.screened_by);
  });

  it('as harvested is compared with the wet mass', () => {
    const { reconciled } = settleFields([], [summaryOf('Home', 60_000)], {
      settlements: [{ fields: ['Home'], settlement_kg: 66_000, moisture: 'as_harvested' }],
    });
    expect(reconciled.get('Home')?.factor).toBeCloseTo(1, 12);
  });

  it('of an unknown field, twice, or far off is told', () => {
    const before = [summaryOf('Home', 60_000), summaryOf('Creek', 40_000)];
    const settled = (settlements: Parameters<typeof settleFields>[2]['settlements'] = []) =>
      settleFields([], before, { settlements });
    const unknown = settled([{ fields: ['Hme'], settlement_kg: 60_000 }]);
    expect(unknown.notices[0].text).toContain('did you mean "Home"?');
    expect(unknown.reconciled.size).toBe(0);
    const twice = settled([
      { fields: ['Home'], settlement_kg: 61_000 },
      { fields: ['Home', 'Creek'], settlement_kg: 100_000 },
    ]);
    expect(codes(twice.notices)).toEqual(['settled_twice']);
    expect([...twice.reconciled.keys()]).toEqual(['Home']);
    expect(codes(settled([{ fields: ['Home'], settlement_kg: 132_000 }]).notices)).toEqual([
      'settlement_far_off',
    ]);
  });
});

it('a field that nothing changes is the very same', () => {
  const field = twoMachines(1);
  expect(rescaleField(field, new Map([['c1', 1]]))).toBe(field);
});
