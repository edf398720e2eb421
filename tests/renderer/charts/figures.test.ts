import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { LedgerRow } from '../../../core/result.ts';
import { axisScale } from '../../../renderer/charts/axis-scale.ts';
import { ribbonThreads } from '../../../renderer/charts/ribbon-threads.ts';
import { roundedSpan, ticksBetween } from '../../../renderer/charts/ticks.ts';
import { barLength } from '../../../renderer/map/bar-length.ts';
import { shownQuantity } from '../../../renderer/map/quantities.ts';

describe('ticks', () => {
  it('are round, and say how many digits they need', () => {
    expect(ticksBetween(0, 10, 5)).toMatchObject({ at: [0, 2, 4, 6, 8, 10], digits: 0 });
    expect(ticksBetween(0.1, 0.52, 4)).toMatchObject({ step: 0.2, digits: 1 });
    expect(ticksBetween(3, 3, 4).at).toEqual([3]);
  });

  it('lie within the axis, evenly, not many more than asked for', () => {
    const ends = fc.double({ min: -1e5, max: 1e5, noNaN: true });
    fc.assert(
      fc.property(
        ends,
        fc.double({ min: 1e-3, max: 1e5, noNaN: true }),
        fc.integer({ min: 2, max: 9 }),
        (low, span, count) => {
          const { at, step } = ticksBetween(low, low + span, count);
          expect(at.length).toBeLessThanOrEqual(count + 1);
          for (const tick of at) {
            expect(tick).toBeGreaterThanOrEqual(low - 1e-6 * step);
            expect(tick).toBeLessThanOrEqual(low + span + 1e-6 * step);
          }
          const [from, to] = roundedSpan(low, low + span, count);
          expect(from).toBeLessThanOrEqual(low + 1e-6 * step);
          expect(to).toBeGreaterThanOrEqual(low + span - 1e-6 * step);
        },
      ),
    );
  });

  it('need an axis with a length', () => {
    expect(axisScale(0, 10, 100, 0).of(2.5)).toBe(75);
    expect(() => axisScale(3, 3, 0, 1)).toThrow(RangeError);
  });
});

describe('mass ribbon', () => {
  const row = (part: Partial<LedgerRow>): LedgerRow => ({
    field: 'Home',
    machine: 'c1',
    beam_kg: 100,
    mapped_kg: 80,
    screened_kg: { narrow_cut: 5, ramp: 10 },
    outside_field_kg: 2,
    not_cutting_kg: 3,
    ...part,
  });

  it('loses no kilogram: threads and map are what passed the beam', () => {
    const { beam_kg, mapped_kg, threads } = ribbonThreads([
      row({}),
      row({ machine: 'c2', not_cutting_kg: 0, mapped_kg: 83 }),
    ]);
    expect(mapped_kg + threads.reduce((sum, { mass_kg }) => sum + mass_kg, 0)).toBeCloseTo(beam_kg, 9);
    expect(threads.map(({ thread }) => thread)).toEqual([
      'not_cutting',
      'outside_field',
      'screened:ramp',
      'screened:narrow_cut',
    ]);
  });

  it('has no thread without grain, and keeps reasons that it does not know', () => {
    const { threads } = ribbonThreads([row({ outside_field_kg: 0, screened_kg: { new_rule: 15, ramp: 0 } })]);
    expect(threads.map(({ thread, words }) => [thread, words])).toEqual([
      ['not_cutting', 'not cutting'],
      ['screened:new_rule', 'new rule'],
    ]);
  });
});

describe('quantities and scale bar', () => {
  it('show yields in the unit of the crop and the user', () => {
    // 1 kg/m² = 10 t/ha; corn of 56 lb/bu: 4046.8564224 m²/ac ÷ 25.40117272 kg/bu (NIST SP 811 acre and pound).
    expect(shownQuantity('yield', 'metric').per_si).toBe(10);
    expect(shownQuantity('yield', 'us', 56 * 0.45359237).per_si).toBeCloseTo(159.3177, 4);
    expect(shownQuantity('yield', 'us').unit).toBe('lb/ac');
    // 1 m/s = 2.23694 mph, 1 m = 3.28084 ft (NIST SP 811).
    expect(shownQuantity('speed', 'us').per_si).toBeCloseTo(2.23694, 5);
    expect(shownQuantity('cut_width', 'us').per_si).toBeCloseTo(3.28084, 5);
    // 1 L/s = 2.1189 ft³/min (NIST SP 811).
    expect(shownQuantity('volume_flow', 'us').per_si / 1000).toBeCloseTo(2.1189, 4);
  });

  it('are as long as they say, and never wider than there is room', () => {
    expect(barLength(1, 'metric')).toEqual({ px: 100, words: '100 m' });
    expect(barLength(0.05, 'metric').words).toBe('2 km');
    expect(barLength(0.05, 'us').words).toBe('1 mi');
    expect(barLength(1, 'us').px).toBeCloseTo(200 * 0.3048, 9);
    for (const px_per_m of [1e-4, 0.01, 0.3, 7, 180]) {
      for (const units of ['us', 'metric'] as const) {
        const { px } = barLength(px_per_m, units);
        expect(px).toBeLessThanOrEqual(130.001);
        expect(px).toBeGreaterThan(20);
      }
    }
  });
});
