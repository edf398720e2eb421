import { describe, expect, it } from 'vitest';
import { type FieldPoints, SCREENING_RULES } from '../../../core/result.ts';
import { ledgerOfSeason, ledgerRow } from '../../../core/screen/ledger.ts';

const by = (rule: (typeof SCREENING_RULES)[number]) => SCREENING_RULES.indexOf(rule) + 1;

describe('mass ledger', () => {
  it('puts each kilogram into one account', () => {
    const row = ledgerRow({
      field: 'Home',
      machine: 'c1',
      mass_kg: Float64Array.of(5, 7, 1, 2, 3, -0.5),
      screened_by: Uint8Array.of(0, 0, by('not_cutting'), by('outside_field'), by('ramp'), by('ramp')),
      remainder_kg: 4,
    });
    expect(row).toEqual({
      field: 'Home',
      machine: 'c1',
      beam_kg: 21.5,
      mapped_kg: 12,
      screened_kg: { ramp: 2.5 },
      outside_field_kg: 2,
      not_cutting_kg: 5,
    });
  });

  it('of no points holds the remainder', () => {
    const none = { mass_kg: new Float64Array(), screened_by: new Uint8Array() };
    expect(ledgerRow({ field: 'F', machine: 'm', ...none, remainder_kg: -1 })).toMatchObject({
      beam_kg: -1,
      mapped_kg: 0,
      screened_kg: {},
      not_cutting_kg: -1,
    });
  });

  it('has a row for each field and machine, from the rows of each', () => {
    const points = {
      field: 'Home',
      mass_kg: Float64Array.of(1, 10, 2, 20),
      screened_by: Uint8Array.of(0, 0, by('slow'), 0),
    } as unknown as FieldPoints;
    const plots = [
      { machine: 'c1', rows: Int32Array.of(0, 2), remainder_kg: 0 },
      { machine: 'c2', rows: Int32Array.of(1, 3), remainder_kg: 5 },
    ];
    const ledger = ledgerOfSeason([{ points, plots }]);
    expect(ledger.map(({ machine, beam_kg, mapped_kg }) => [machine, beam_kg, mapped_kg])).toEqual([
      ['c1', 3, 1],
      ['c2', 35, 30],
    ]);
    expect(ledger[0].screened_kg).toEqual({ slow: 2 });
  });
});
