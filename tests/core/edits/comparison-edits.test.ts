import { describe, expect, it } from 'vitest';
import { applyEdit, type SeasonEdit } from '../../../core/edits.ts';
import type { Season } from '../../../core/season.ts';

const RING = [
  [-93.6, 42],
  [-93.599, 42],
  [-93.599, 42.001],
] as const;

const season: Season = {
  format: 'sheaflight-season/1',
  name: 'Kestrel',
  machines: [
    { id: 'c1', name: 'combine 1', header: { width_m: 9 } },
    { id: 'c2', name: 'combine 2', header: { width_m: 9 } },
  ],
  fields: [
    { name: 'Home', crop: 'corn' },
    { name: 'Creek', crop: 'soybean' },
  ],
  logs: [],
  comparisons: [
    { name: 'Rates', field: 'Home', strips: [{ treatment: 'low', rings: [RING] }] },
    { name: 'Varieties', field: 'Creek', spans: [{ treatment: 'early', machine: 'c2' }] },
  ],
  settings: { margin: { costs: [{ name: 'lime', per_ha: 40, field: 'Creek' }] } },
};

function edited(edit: SeasonEdit) {
  const done = applyEdit(season, edit);
  if (!done.ok) throw new Error(done.error.text);
  return done.value;
}

function refused(edit: SeasonEdit): string {
  const done = applyEdit(season, edit);
  return done.ok ? 'not refused' : done.error.text;
}

describe('edits of comparisons and prices', () => {
  it('names of fields and machines are carried into them', () => {
    const renamed = edited({ kind: 'change_field', name: 'Creek', change: { name: 'Brook' } }).season;
    expect(renamed.comparisons?.[1].field).toBe('Brook');
    expect(renamed.settings?.margin?.costs?.[0].field).toBe('Brook');
    const machine = edited({ kind: 'change_machine', id: 'c2', change: { id: 'new' } }).season;
    expect(machine.comparisons?.[1].spans?.[0].machine).toBe('new');
  });

  it('what belongs to a field or a machine goes with it', () => {
    const without = edited({ kind: 'remove_field', name: 'Creek' }).season;
    expect(without.comparisons?.map(({ name }) => name)).toEqual(['Rates']);
    expect(without.settings).toBeUndefined();
    const one = edited({ kind: 'remove_machine', id: 'c2' }).season;
    expect(one.comparisons?.map(({ name }) => name)).toEqual(['Rates']);
  });

  it('are refused with a sentence where something is wrong', () => {
    const strips = [{ treatment: 'high', rings: [RING] }];
    const set = (comparison: object) => ({ kind: 'set_comparison', comparison }) as SeasonEdit;
    expect(refused(set({ name: 'New', field: 'Hoome', strips }))).toMatch(/did you mean "Home"\?/);
    expect(refused(set({ name: 'New', field: 'Home', strips, spans: [] }))).toMatch(
      /exactly one of "strips"/,
    );
    expect(refused(set({ name: 'New', field: 'Home', strips, end_buffer_m: 900 }))).toMatch(/0 to 500 m/);
    const bow = [RING[0], RING[2], RING[1], [-93.6, 42.001] as const];
    const crossed = [...strips, { treatment: 'low', rings: [bow] }];
    expect(refused(set({ name: 'New', field: 'Home', strips: crossed }))).toMatch(
      /^Strip 2: The outline crosses itself/,
    );
    expect(refused({ kind: 'remove_comparison', name: 'Rate' })).toMatch(/did you mean "Rates"\?/);
    expect(refused({ kind: 'rename_comparison', name: 'Rates', to: 'Varieties' })).toMatch(
      /repeats the comparison name/,
    );
    const both = { crop: 'corn', price_per_t: 160, price_per_bu: 4 };
    expect(refused({ kind: 'set_margin', change: { prices: [both] } })).toMatch(
      /by the tonne or by the bushel/,
    );
  });

  it('have names that can be read in the history', () => {
    const strips = [{ treatment: 'high', rings: [RING] }];
    expect(
      edited({ kind: 'set_comparison', comparison: { name: 'Rates', field: 'Home', strips } }).name,
    ).toBe('Comparison Rates changed, 1 strip');
    expect(edited({ kind: 'set_margin', change: null }).name).toBe('Prices and costs taken away');
    expect(edited({ kind: 'set_margin', change: null }).season.settings).toBeUndefined();
    expect(edited({ kind: 'set_stability', change: { unstable_cv_pct: 25 } }).name).toBe(
      'Unstable cv set to 25 % in the stability of seasons',
    );
  });
});
