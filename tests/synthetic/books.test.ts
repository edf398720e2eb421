/** The simulator must keep its own books before it may judge anybody else's. */
import { describe, expect, it } from 'vitest';
import {
  contourNoHeader,
  everythingWrong,
  plain,
  simulate,
  singleFieldTicket,
  twoMachines,
} from './index.ts';
import { signedArea_m2 } from './polygon.ts';
import { total } from './total.ts';

const SCENES = { plain, twoMachines, contourNoHeader, everythingWrong, singleFieldTicket };

describe.each(Object.entries(SCENES))('scene %s', (_, build) => {
  const season = simulate(build(1));
  const { truth } = season;

  it('conserves mass: entered = passed + remained, to 1e-9', () => {
    const { entered_kg, passed_kg, remained_kg } = truth.balance;
    expect(Math.abs(entered_kg - passed_kg - remained_kg)).toBeLessThan(1e-9 * entered_kg);
    expect(Math.abs(truth.fields[0].mass_wet_kg - entered_kg)).toBeLessThan(1e-9 * entered_kg);
    expect(remained_kg).toBeLessThan(1e-3);
  });

  it('weighs in its loads all that passed the beam', () => {
    const weighed = total(truth.tickets.map((ticket) => ticket.true_kg));
    expect(Math.abs(weighed - truth.balance.passed_kg)).toBeLessThan(1e-9 * weighed);
  });

  it('finds the same area and mass in its blocks as in its fields', () => {
    const [field] = truth.fields;
    expect(Math.abs(total(field.blocks_10m.cut_area_m2) / field.area_m2 - 1)).toBeLessThan(1e-9);
    expect(Math.abs(total(field.blocks_10m.mass_std_kg) / field.mass_std_kg - 1)).toBeLessThan(1e-9);
    expect(Math.max(...field.blocks_10m.cut_area_m2)).toBeLessThan(100 + 1e-6);
  });

  it('cuts the whole polygon: no strip is left between passes', () => {
    const [field] = truth.fields;
    const polygon_m2 = Math.abs(signedArea_m2(field.corners));
    expect(Math.abs(field.standing_m2 / polygon_m2 - 1)).toBeLessThan(3e-4);
    expect(1 - field.area_m2 / field.standing_m2).toBeLessThan(5e-4);
    expect(field.area_m2).toBeLessThan(field.standing_m2 * (1 + 1e-9));
  });

  it('standardises mass by dry matter', () => {
    const [field] = truth.fields;
    const dry = (field.mass_wet_kg * (100 - field.moisture_pct)) / 100;
    expect((field.mass_std_kg * (100 - field.standard_moisture_pct)) / 100 / dry).toBeCloseTo(1, 9);
  });

  it('writes honest tickets within four deviations of its scale, and the mistyped one far off', () => {
    for (const ticket of truth.tickets) {
      const error = Math.abs(ticket.written_kg / ticket.true_kg - 1);
      if (ticket.mistyped) expect(error).toBeGreaterThan(0.03);
      else expect(error).toBeLessThan(4 * 0.002 + 10 / ticket.true_kg);
    }
  });
});
