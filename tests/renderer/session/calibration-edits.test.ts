import { describe, expect, it } from 'vitest';
import type { CalibrationSheet } from '../../../core/calibration-sheet.ts';
import { applyEdit, type SeasonEdit } from '../../../core/edits.ts';
import type { Season } from '../../../core/season.ts';
import {
  agreementEdit,
  groupsEdit,
  isAgreed,
  priorEdit,
  priorOf,
  settlementEdit,
  settlementOf,
  settlementRemoval,
} from '../../../renderer/session/calibration-edits.ts';
import { SEASON } from './stand-in-host.ts';

const withCalibration = (calibration: CalibrationSheet): Season => ({ ...SEASON, settings: { calibration } });

describe('lists of a calibration', () => {
  const corn = { machine: 'c1', crop: 'corn' };
  const carried = { factor: 0.95, se_pct: 3, from: 'last season' };

  it('a gain carried over takes the place of the one of the same machine and crop', () => {
    const general = { factor: 1, se_pct: 5, from: 'the bench' };
    const season = withCalibration({ prior: [general, { ...corn, factor: 0.9, se_pct: 3, from: '2024' }] });
    expect(priorEdit(season, corn, carried)).toEqual({
      kind: 'set_calibration',
      change: { prior: [general, { ...corn, ...carried }] },
    });
    expect(priorOf(season, corn)?.from).toBe('2024');
    expect(priorOf(season, { machine: 'c2', crop: 'corn' })).toBeUndefined();
  });

  it('goes as a whole with its last entry', () => {
    const season = withCalibration({ prior: [{ ...corn, ...carried }] });
    expect(priorEdit(season, corn, null)).toEqual({ kind: 'set_calibration', change: { prior: null } });
  });

  it('a field is settled once: an older settlement with it goes, those of others stay', () => {
    const season = withCalibration({
      settlements: [
        { fields: ['Home', 'Far'], settlement_kg: 200_000 },
        { fields: ['Hill'], settlement_kg: 50_000 },
      ],
    });
    const settled = { fields: ['Home'], settlement_kg: 101_000, moisture: 'standard' } as const;
    expect(settlementEdit(season, settled)).toEqual({
      kind: 'set_calibration',
      change: { settlements: [{ fields: ['Hill'], settlement_kg: 50_000 }, settled] },
    });
    expect(settlementOf(season, 'Far')?.settlement_kg).toBe(200_000);
    expect(settlementRemoval(season, 'Far')).toEqual({
      kind: 'set_calibration',
      change: { settlements: [{ fields: ['Hill'], settlement_kg: 50_000 }] },
    });
  });

  it('machines are made to agree once, and let be again', () => {
    const pair = { machine: 'c1', with: 'c2' };
    const agreed = withCalibration({ agreements: [pair] });
    expect(isAgreed(agreed, pair)).toBe(true);
    expect(isAgreed(agreed, { machine: 'c2', with: 'c1' })).toBe(false);
    expect(agreementEdit(SEASON, pair, 'apply')).toEqual({
      kind: 'set_calibration',
      change: { agreements: [pair] },
    });
    expect(agreementEdit(agreed, pair, 'apply')).toEqual(agreementEdit(SEASON, pair, 'apply'));
    expect(agreementEdit(agreed, pair, 'leave')).toEqual({
      kind: 'set_calibration',
      change: { agreements: null },
    });
  });
});

describe('loads fitted apart', () => {
  it('by variety or by period, and together again, whatever stood there before', () => {
    const kept = (from: Season, edit: SeasonEdit) => {
      const change = applyEdit(from, edit);
      if (!change.ok) throw new Error(change.error.text);
      return change.value.season;
    };
    const splits_utc = ['2026-10-10T05:00:00Z'];
    const byPeriod = kept(SEASON, groupsEdit({ by: 'period', splits_utc }));
    expect(byPeriod.settings?.calibration?.groups).toEqual({ by: 'period', splits_utc });
    const byVariety = kept(byPeriod, groupsEdit({ by: 'variety' }));
    expect(byVariety.settings?.calibration?.groups).toEqual({ by: 'variety' });
    expect(kept(byVariety, groupsEdit(null)).settings?.calibration?.groups).toBeUndefined();
  });
});
