import { describe, expect, it } from 'vitest';
import { lengthText, lengthUnit, metresFromText } from '../../../renderer/text/lengths.ts';

describe('lengths as people type them', () => {
  // 1 in = 25.4 mm, 1 ft = 12 in exactly [NIST SP 811]
  it.each([
    ['8', 'in', 0.2032],
    ['8', 'mm', 0.008],
    ['8 in', 'mm', 0.2032],
    ['8"', 'ft', 0.2032],
    ['203.2 mm', 'in', 0.2032],
    ['203,2', 'mm', 0.2032],
    ['20.32cm', 'in', 0.2032],
    ['2 1/2 in', 'mm', 0.0635],
    ['1/2', 'in', 0.0127],
    ["30'", 'm', 9.144],
    ['3 ft 4 in', 'm', 1.016],
    ["3' 4", 'm', 1.016],
    ['-11 ft 2 in', 'm', -3.4036],
    ['−3.4', 'm', -3.4],
    ['.5 m', 'ft', 0.5],
    ['9.144 Feet', 'm', 2.7870912],
  ] as const)('%s where %s is usual', (text, usual, length_m) => {
    expect(metresFromText(text, usual)).toBeCloseTo(length_m, 9);
  });

  it.each(['', 'abc', '8 lb', '8 in 3', '3 ft 4 in 5', '1/0', '8-3', '1e5 in'])('"%s" is none', (text) => {
    expect(metresFromText(text, 'in')).toBeNaN();
  });

  it('come back as they were typed', () => {
    for (const [text, unit] of [
      ['8', 'in'],
      ['203.2', 'mm'],
      ['30', 'ft'],
      ['-11.15', 'ft'],
    ] as const)
      expect(lengthText(metresFromText(text, unit), unit)).toBe(text);
    expect(lengthText(Number.NaN, 'm')).toBe('');
  });

  it('have the unit of a rule or of a tape', () => {
    expect([lengthUnit('small', 'us'), lengthUnit('large', 'us')]).toEqual(['in', 'ft']);
    expect([lengthUnit('small', 'metric'), lengthUnit('large', 'metric')]).toEqual(['mm', 'm']);
  });
});
