import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import * as units from '../../core/units.ts';

describe('units', () => {
  // NIST SP 811 (2008) appendix B.8: exact factors are printed in full, the others to seven figures.
  test.each([
    ['pound', units.kgFromLb(1), 0.45359237, 0],
    ['short ton of 2000 lb', units.kgFromShortTons(1), 907.1847, 5e-5],
    ['inch', units.mFromIn(1), 0.0254, 0],
    ['foot', units.mFromFt(1), 0.3048, 0],
    ['mile per hour', units.mPerSFromMph(1), 0.44704, 1e-16],
    ['knot', units.mPerSFromKnots(1), 0.5144444, 5e-8],
    ['kilometre per hour', units.mPerSFromKmh(1), 0.2777778, 5e-8],
    ['hectare', units.m2FromHa(1), 1e4, 0],
    ['US bushel', units.m3FromUsBushels(1), 0.03523907, 5e-9],
    ['litre', units.m3FromL(1), 1e-3, 0],
  ])('%s', (_unit, found, published, half_digit) => {
    expect(Math.abs(found - published)).toBeLessThanOrEqual(half_digit);
  });

  test('the acre is 43,560 square feet of 0.3048² m² (NIST Handbook 44, appendix C), exactly 4046.8564224 m²', () => {
    expect(units.M2_PER_ACRE).toBeCloseTo(4046.8564224, 10);
  });

  test('there and back is where one was', () => {
    const pairs: [(x: number) => number, (x: number) => number][] = [
      [units.kgFromLb, units.lbFromKg],
      [units.kgFromShortTons, units.shortTonsFromKg],
      [units.kgFromTonnes, units.tonnesFromKg],
      [units.mFromIn, units.inFromM],
      [units.mFromFt, units.ftFromM],
      [units.mPerSFromMph, units.mphFromMPerS],
      [units.mPerSFromKnots, units.knotsFromMPerS],
      [units.mPerSFromKmh, units.kmhFromMPerS],
      [units.m2FromAcres, units.acresFromM2],
      [units.m2FromHa, units.haFromM2],
      [units.m3FromUsBushels, units.usBushelsFromM3],
      [units.m3FromL, units.lFromM3],
      [units.kgM3FromLbBu, units.lbBuFromKgM3],
      [units.kgM3FromKgHl, units.kgHlFromKgM3],
      [units.kgM2FromTHa, units.tHaFromKgM2],
      [(y) => units.kgM2FromBuAc(y, 25.4), (y) => units.buAcFromKgM2(y, 25.4)],
      [units.radFromDeg, units.degFromRad],
    ];
    fc.assert(
      fc.property(fc.double({ min: 1e-6, max: 1e9, noNaN: true }), (x) => {
        for (const [inward, outward] of pairs) expect(outward(inward(x)) / x).toBeCloseTo(1, 12);
      }),
    );
  });

  test('absent stays absent', () => {
    expect(units.kgFromLb(Number.NaN)).toBeNaN();
    expect(units.buAcFromKgM2(1, Number.NaN)).toBeNaN();
  });
});
