import { describe, expect, it } from 'vitest';
import { fixedJson, significant } from '../../../core/export/number-text.ts';
import { summaryText } from '../../../core/export/summary-json.ts';
import { makeResult } from './season-fixture.ts';

describe('summary.json', () => {
  const { summary } = makeResult();

  it('holds the summary in the order of the contract', () => {
    const text = summaryText(summary);
    expect(JSON.parse(text).fields).toEqual(summary.fields);
    expect(JSON.parse(text).calibrations[0].coefficients).toEqual(summary.calibrations[0].coefficients);
    expect(Object.keys(JSON.parse(text))).toEqual(
      'season generated_by inputs fields lags calibrations mass_ledger warnings signals'.split(' '),
    );
    expect(text.endsWith('\n}\n')).toBe(true);
  });

  it('hides the last bits of a double and keeps the ledger closed to 1e-9', () => {
    const row = { ...summary.mass_ledger[0], beam_kg: 0.1 + 0.2, mapped_kg: 123_456.789_012_345_67 };
    const back = JSON.parse(summaryText({ ...summary, mass_ledger: [row] })).mass_ledger[0];
    expect(back.beam_kg).toBe(0.3);
    expect(Math.abs(back.mapped_kg / row.mapped_kg - 1)).toBeLessThan(1e-12);
  });

  it('writes lists of numbers on one line, and nothing else', () => {
    const text = summaryText({ ...summary, season: '[\n 1,\n 2\n]' });
    expect(text).toContain('"lag_s": [10, 11, 12],');
    expect(JSON.parse(text).season).toBe('[\n 1,\n 2\n]');
    expect(JSON.parse(text).lags).toEqual(summary.lags);
  });

  it('writes null for what does not exist, and no -0', () => {
    const broken = { ...summary.fields[0], mass_wet_kg: Number.NaN, area_ha: -0 };
    expect(summaryText({ ...summary, fields: [broken] })).toMatch(/"area_ha": 0,[\s\S]*"mass_wet_kg": null/);
  });
});

describe('numbers', () => {
  it('have fixed digits', () => {
    expect(
      [1.005, 12, -0.0004, 1e-9, Number.NaN, Number.POSITIVE_INFINITY].map((x) => fixedJson(x, 3)),
    ).toEqual(['1.005', '12', '0', '0', 'null', 'null']);
    expect(significant(123.456789, 5)).toBe(123.46);
    expect(Object.is(significant(-0, 5), 0)).toBe(true);
  });
});
