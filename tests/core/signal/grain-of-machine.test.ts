import { describe, expect, it } from 'vitest';
import type { MachineSheet } from '../../../core/season.ts';
import {
  cuttingWithin,
  grainOfMachine,
  mayHaveCut,
  roughCutting,
} from '../../../core/signal/grain-of-machine.ts';
import type { MachineRecord } from '../../../core/signal/machine-record.ts';
import { range, timedFixes } from './made-fixes.ts';

const sheet: MachineSheet = {
  id: 'c1',
  name: 'combine 1',
  paddle: { pitch_mm: 200, width_mm: 250, depth_mm: 160, thickness_mm: 10, count: 10 },
  header: { width_m: 9 },
};
const AREA_M2 = 0.25 * 0.16;

/** A row a second for 400 s of `slots` paddles each; the machine stands for the first 200 s, and grain comes after 250 s. */
function record(slots: number, dark_at: (i: number) => number, single = slots === 1): MachineRecord {
  const t_s = Float64Array.from(range(400));
  return {
    machine: 0,
    source: 'a.log',
    fixes: timedFixes(range(400), { speed_m_s: range(400).map((t) => (t < 200 ? 0 : 2)) }),
    field_hint: new Int32Array(400),
    header: { t_s: new Float64Array(), up: new Uint8Array() },
    moisture: { t_s: new Float64Array(), moisture_pct: new Float64Array() },
    pitch: { t_s: new Float64Array(), pitch_rad: new Float64Array() },
    grain: {
      kind: 'paddles',
      single,
      runs: [],
      paddles: {
        t_s,
        period_s: t_s.map(() => 1),
        dark_fraction: t_s.map((_, i) => dark_at(i)),
        slots: t_s.map(() => slots),
      },
    },
  };
}
const wiggle = (i: number) => 0.004 * (((i * 37) % 41) / 20 - 1);
const full = (i: number) => (i < 250 ? 0.08 : 0.58) + wiggle(i);

describe('grain of a machine', () => {
  it('is what stands above the empty level read while it stood', () => {
    const { level, passage, running, notices } = grainOfMachine(record(1, full), sheet, undefined);
    expect(level?.method).toBe('measured');
    expect(level?.dark_fraction[0]).toBeCloseTo(0.08, 3);
    expect(passage.cumulative[399]).toBeCloseTo(150 * AREA_M2 * 0.2 * 0.5, 2);
    expect(running.cumulative_s[399]).toBe(400);
    expect(notices).toEqual([]);
  });

  it('stands above an entered level when there is one', () => {
    const { level } = grainOfMachine(record(1, full), sheet, { empty_level: 0.1 });
    expect(level).toMatchObject({ method: 'entered' });
    expect([...(level?.dark_fraction ?? [])]).toEqual([0.1]);
  });

  it('of tallies scatters by paddle, not by row, and has no chain to fold', () => {
    const one = grainOfMachine(record(1, full), sheet, undefined);
    const ten = grainOfMachine(record(9, full), sheet, undefined);
    expect(one.level?.signature).toBeDefined();
    expect(ten.level?.signature).toBeUndefined();
    expect(ten.paddle_scatter_m3).toBeCloseTo(3 * one.paddle_scatter_m3, 12);
    expect(ten.passage.cumulative[399]).toBeCloseTo(9 * one.passage.cumulative[399], 9);
  });

  it('beyond what the beam can see is told', () => {
    const { notices } = grainOfMachine(
      record(1, (i) => (i < 250 ? 0.08 : 0.99)),
      sheet,
      undefined,
    );
    expect(notices.map(({ code, count }) => [code, count])).toEqual([['beam_saturated', 150]]);
  });

  it('needs a paddle sheet: anything else is our mistake', () => {
    expect(() => grainOfMachine(record(1, full), { ...sheet, paddle: undefined }, undefined)).toThrow(/c1/);
  });
});

describe('a first guess at cutting', () => {
  it('is where grain came 6 to 24 s later', () => {
    const cuts = roughCutting(grainOfMachine(record(1, full), sheet, undefined));
    expect(mayHaveCut(cuts, 100, 101)).toBe(false);
    expect(mayHaveCut(cuts, 240, 241)).toBe(true);
    expect(mayHaveCut(cuts, 300, 301)).toBe(true);
    expect(mayHaveCut(cuts, 2000, 2001)).toBe(false);
  });

  it('is the same from the part of the record that it is asked about', () => {
    const cuts = roughCutting(grainOfMachine(record(1, full), sheet, undefined));
    const part = cuttingWithin(cuts, 200, 320);
    expect(part.t_s.length).toBeLessThan(cuts.t_s.length / 2);
    for (let from_s = 200; from_s < 320; from_s++)
      expect(mayHaveCut(part, from_s, from_s + 1)).toBe(mayHaveCut(cuts, from_s, from_s + 1));
  });

  it('is never where no grain came', () => {
    const cuts = roughCutting(
      grainOfMachine(
        record(1, () => 0.08),
        sheet,
        undefined,
      ),
    );
    expect(mayHaveCut(cuts, 100, 101)).toBe(false);
  });
});
