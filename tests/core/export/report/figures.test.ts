import { describe, expect, it } from 'vitest';
import { classOf, roundClasses, roundStep, viridis } from '../../../../core/export/report/colour-classes.ts';
import { areaPair, grouped, massPair, signed, yieldPair } from '../../../../core/export/report/figures.ts';

/** Weight of the corn bushel, 56 lb, in kg. */
const CORN_KG = 25.40117272;

describe('figures', () => {
  it('are grouped by thousands, with a true minus and no minus zero', () => {
    expect([0, 999, 1000, -1234567.891].map((number) => grouped(number, 0))).toEqual([
      '0',
      '999',
      '1,000',
      '−1,234,568',
    ]);
    expect(grouped(1234.5, 2)).toBe('1,234.50');
    expect(grouped(-0.004, 2)).toBe('0.00');
    expect([grouped(null, 1), grouped(Number.NaN, 1), grouped(undefined, 1)]).toEqual(['–', '–', '–']);
  });

  it('carry a sign where a difference is meant', () => {
    expect([0.04, 0.05, -1.24, 12, null].map((number) => signed(number, 1))).toEqual([
      '0.0',
      '+0.1',
      '−1.2',
      '+12.0',
      '–',
    ]);
  });

  it('come in both systems of units, the chosen one first', () => {
    expect(areaPair(10, 'us')).toEqual({
      first: { number: '24.71', unit: 'ac' },
      second: { number: '10.00', unit: 'ha' },
    });
    // 1 t/ha of corn = 15.9320 bu/ac: 1000 kg / 25.40117272 kg over 10,000 m² / 4046.8564224 m²
    expect(yieldPair(10, CORN_KG, 'metric')).toEqual({
      first: { number: '10.00', unit: 't/ha' },
      second: { number: '159.3', unit: 'bu/ac' },
    });
    expect(massPair(25_401.17272, CORN_KG, 'us').first).toEqual({ number: '1,000', unit: 'bu' });
    expect(massPair(453.59237, Number.NaN, 'us').first).toEqual({ number: '1,000', unit: 'lb' });
    expect(yieldPair(null, CORN_KG, 'us').first.number).toBe('–');
  });
});

describe('yield classes', () => {
  it('have round limits, as many colours as classes, and leave the extremes open', () => {
    const amounts = Float64Array.from({ length: 1001 }, (_, index) => 100 + index / 10);
    amounts[0] = -5000;
    const classes = roundClasses(amounts, new Float64Array(1001).fill(1));
    expect(classes.limits).toEqual([110, 120, 130, 140, 150, 160, 170, 180, 190]);
    expect(classes.colours).toHaveLength(10);
    expect(classes.digits).toBe(0);
    expect([Number.NaN, -5000, 109.9, 110, 195].map((amount) => classOf(classes, amount))).toEqual([
      -1, 0, 0, 1, 9,
    ]);
  });

  it('are one class where there is nothing to tell apart', () => {
    expect(roundClasses(Float64Array.of(5, 5, 5), Float64Array.of(1, 1, 1)).limits).toEqual([]);
    // a surface of an even field, different in the last digit
    const even = Float64Array.of(9.4, 9.4 + 1.8e-15, 9.4);
    expect(roundClasses(even, Float64Array.of(1, 1, 1)).limits).toEqual([]);
    expect(roundClasses(Float64Array.of(Number.NaN), Float64Array.of(1)).colours).toHaveLength(1);
  });

  it('step by 1, 2, 2.5 or 5 times a power of ten', () => {
    expect([0.03, 0.9, 1, 1.1, 2.2, 2.6, 51].map(roundStep)).toEqual([0.05, 1, 1, 2, 2.5, 5, 100]);
  });

  it('run through viridis from dark to light', () => {
    // End and middle colours of the published table (van der Walt & Smith 2015).
    expect([viridis(-1), viridis(0), viridis(5 / 9), viridis(1), viridis(2)]).toEqual([
      '#440154',
      '#440154',
      '#1f9e89',
      '#fde725',
      '#fde725',
    ]);
  });
});
