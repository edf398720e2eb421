import { describe, expect, it } from 'vitest';
import { applyEdit } from '../../../core/edits.ts';
import type { Season } from '../../../core/season.ts';

const SEASON: Season = {
  format: 'sheaflight-season/1',
  name: 'Test',
  machines: [
    { id: 'c1', name: 'combine 1', header: { width_m: 9 }, unconfirmed: ['header.width_m', 'antenna'] },
  ],
  fields: [{ name: 'Field 1', crop: 'corn', unconfirmed: ['name', 'crop'] }],
  logs: [],
};

function machineAfter(change: object) {
  const edited = applyEdit(SEASON, { kind: 'change_machine', id: 'c1', change });
  if (!edited.ok) throw new Error(edited.error.text);
  return edited.value.season.machines[0].unconfirmed;
}

describe('guesses of an import', () => {
  it('are settled by whoever sets them, to whatever', () => {
    expect(machineAfter({ header: { width_m: 9 } })).toEqual(['antenna']);
    expect(machineAfter({ antenna: { ahead_of_cut_m: -3, right_of_centre_m: 0 } })).toEqual([
      'header.width_m',
    ]);
    expect(machineAfter({ header: { rows: 12 } })).toEqual(['header.width_m', 'antenna']);
    expect(machineAfter({ header: { width_m: 9 }, antenna: null })).toBeUndefined();
  });

  it('of fields too, one by one', () => {
    const edited = applyEdit(SEASON, { kind: 'change_field', name: 'Field 1', change: { name: 'Home' } });
    expect(edited.ok && edited.value.season.fields).toEqual([
      { name: 'Home', crop: 'corn', unconfirmed: ['crop'] },
    ]);
  });

  it('are what a change says that speaks of them', () => {
    expect(machineAfter({ header: { width_m: 9 }, unconfirmed: ['antenna', 'name'] })).toEqual([
      'antenna',
      'name',
    ]);
  });
});
