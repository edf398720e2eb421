/** Edits of gains carried over, settlements and agreements. */
import { describe, expect, it } from 'vitest';
import { seasonEditSchema } from '../../../core/edits/season-edit.ts';
import { setCalibration, setModel } from '../../../core/edits/setting-edits.ts';
import { MINIMAL_SHEET, seasonOf } from '../season-file-fixture.ts';

const season = seasonOf(MINIMAL_SHEET);
const settlements = [{ fields: ['Home'], settlement_kg: 91_000 }];
const made = (result: ReturnType<typeof setCalibration>) => {
  if (!result.ok) throw new Error(result.error.text);
  return result.value;
};

describe('setCalibration', () => {
  it('puts a list in place of the one before, under a name that says what it does', () => {
    const { season: settled, name } = made(setCalibration(season, { settlements }));
    expect(settled.settings?.calibration).toEqual({ settlements });
    expect(name).toBe('Fields reconciled to their settlement');
    const more = [...settlements, { fields: ['Creek'], settlement_kg: 40_000 }];
    expect(made(setCalibration(settled, { settlements: more })).season.settings?.calibration).toEqual({
      settlements: more,
    });
  });

  it('takes a list away, and leaves model and other lists alone', () => {
    const modelled = made(setModel(season, 'gain_moisture')).season;
    const both = made(
      setCalibration(modelled, { settlements, prior: [{ factor: 0.9, se_pct: 2, from: '2025' }] }),
    ).season;
    const without = made(setCalibration(both, { settlements: null }));
    expect(without.name).toBe('No field reconciled to a settlement');
    expect(without.season.settings?.calibration).toEqual({
      model: 'gain_moisture',
      prior: [{ factor: 0.9, se_pct: 2, from: '2025' }],
    });
    expect(
      made(setCalibration(made(setCalibration(season, { settlements })).season, { settlements: null }))
        .season,
    ).toEqual(season);
  });

  it('comes over the wire', () => {
    expect(seasonEditSchema.safeParse({ kind: 'set_calibration', change: { settlements } }).success).toBe(
      true,
    );
    expect(seasonEditSchema.safeParse({ kind: 'set_model', model: 'gain_moisture' }).success).toBe(true);
    expect(seasonEditSchema.safeParse({ kind: 'set_model', model: 'spline' }).success).toBe(false);
  });
});
