import { describe, expect, it } from 'vitest';
import {
  area,
  decimal,
  grainMass,
  massFlow,
  percentOf,
  scaleMass,
  speed,
  withError,
  withSign,
  yieldOf,
} from '../../../renderer/text/quantities.ts';

/** 56 lb [NIST Handbook 44: 0.45359237 kg a pound]. */
const CORN_KG = 56 * 0.45359237;

describe('numbers for people', () => {
  it('are grouped as the locale asks', () => {
    expect(decimal(12_345.678, 1, 'en-US')).toBe('12,345.7');
    expect(decimal(12_345.678, 1, 'de-DE')).toBe('12.345,7');
  });

  it('have a true minus, and no minus before a nought', () => {
    expect(decimal(-3.04, 1, 'en-US')).toBe('−3.0');
    expect(decimal(-0.04, 1, 'en-US')).toBe('0.0');
    expect(withSign(0.04, 1, 'en-US')).toBe('0.0');
    expect(withSign(0.06, 1, 'en-US')).toBe('+0.1');
  });

  it('are a dash where there is none', () => {
    for (const absent of [null, undefined, Number.NaN, Number.POSITIVE_INFINITY])
      expect(decimal(absent, 1)).toBe('–');
    expect(grainMass(null, CORN_KG, 'us')).toEqual({ number: '–', unit: 'bu' });
    expect(percentOf(null)).toEqual({ number: '–', unit: '%' });
  });
});

describe('quantities in both systems', () => {
  it('grain', () => {
    expect(grainMass(1000 * CORN_KG, CORN_KG, 'us')).toEqual({ number: (1000).toLocaleString(), unit: 'bu' });
    expect(grainMass(45.359237, Number.NaN, 'us')).toEqual({ number: '100', unit: 'lb' });
    expect(grainMass(12_340, CORN_KG, 'metric')).toEqual({ number: '12.34', unit: 't' });
    expect(scaleMass(45.359237, 'us')).toEqual({ number: '100', unit: 'lb' });
  });

  it('ground and yield', () => {
    // An acre is 0.40468564224 ha [NIST SP 811].
    expect(area(0.40468564224, 'us')).toEqual({ number: '1.00', unit: 'ac' });
    // 100 bu/ac of corn are 6.277 t/ha: 5600 lb on an acre.
    expect(yieldOf(6.2768, CORN_KG, 'us')).toEqual({ number: '100.0', unit: 'bu/ac' });
    expect(yieldOf(6.2768, CORN_KG, 'metric')).toEqual({ number: '6.28', unit: 't/ha' });
  });

  it('speed and flow', () => {
    expect(speed(0.44704, 'us')).toEqual({ number: '1.0', unit: 'mph' });
    expect(massFlow(0.45359237, 'us')).toEqual({ number: '1.0', unit: 'lb/s' });
  });

  it('an error stands in the unit of its figure, and is left out where it is not known', () => {
    const total = grainMass(12_340, CORN_KG, 'metric');
    expect(withError(total, grainMass(120, CORN_KG, 'metric'))).toEqual({
      number: '12.34 ± 0.12',
      unit: 't',
    });
    expect(withError(total, grainMass(null, CORN_KG, 'metric'))).toEqual(total);
  });
});
