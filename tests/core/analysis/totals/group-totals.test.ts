import { describe, expect, it } from 'vitest';
import { GROUP_KINDS, NO_TICKET, totalsBy } from '../../../../core/analysis/totals/group-totals.ts';
import { massAtMoisture } from '../../../../core/grain/moisture.ts';
import {
  type FieldPoints,
  type FieldSummary,
  SCREENING_RULES,
  type SeasonResult,
} from '../../../../core/result.ts';
import { trialPoints } from '../comparison/strip-trial.ts';

const OUTSIDE = SCREENING_RULES.indexOf('outside_field') + 1;
/** Wet kilograms that ran out between points. */
const BETWEEN_KG = 37;

const base = trialPoints({ treatments: ['A', 'B', 'C', 'D'], yieldAt: (_, east_m) => 1 + east_m / 100 });
const points: FieldPoints = {
  ...base,
  machine: base.pass.map((pass) => pass % 2),
  // the last pass, of machine 1, is cut on the next morning
  t_s: base.t_s.map((t_s, row) => (base.pass[row] === 3 ? t_s + 15 * 3600 : t_s)),
  load: base.pass.map((pass) => (pass < 2 ? pass : -1)),
  screened_by: base.screened_by.map((_, row) => (row === 5 ? OUTSIDE : row === 7 ? 4 : 0)),
};

function summaryOf(): FieldSummary {
  let [area_m2, wet_kg, std_kg] = [0, BETWEEN_KG, massAtMoisture(BETWEEN_KG, 18, 15.5)];
  points.mass_kg.forEach((kg, row) => {
    if (row === 5) return;
    area_m2 += points.fresh_area_m2[row];
    wet_kg += kg;
    std_kg += massAtMoisture(kg, 18, 15.5);
  });
  return {
    name: 'Home',
    crop: 'corn',
    area_ha: area_m2 / 1e4,
    mean_yield_t_ha: (10 * std_kg) / area_m2,
    mean_yield_se_t_ha: null,
    mean_yield_bu_ac: null,
    mass_wet_kg: wet_kg,
    mass_std_kg: std_kg,
    moisture_pct: 18,
    standard_moisture_pct: 15.5,
    points: { total: 240, kept: 238, screened: { outside_field: 1, ramp: 1 } },
  };
}

const result = {
  epoch_utc_s: Date.UTC(2026, 9, 3, 20) / 1000,
  machines: ['c1', 'c2'],
  loads: [
    { ticket: '9', start_s: 0, end_s: 1 },
    { ticket: '10', start_s: 1, end_s: 2 },
  ],
  points: [points],
  outlines: [[]],
  summary: { fields: [summaryOf()] },
} as unknown as SeasonResult;

const season = {
  fields: [{ name: 'Home', crop: 'corn', variety: 'Early' }],
  machines: [
    { id: 'c1', name: 'old one', header: { width_m: 9 } },
    { id: 'c2', name: 'new one', header: { width_m: 9 } },
  ],
};

describe('totals by group', () => {
  it.each(GROUP_KINDS)('by %s add up to the field, the grain between points being named', (by) => {
    const [{ rows }] = totalsBy(by, season, result);
    const total = rows.at(-1);
    expect(total).toMatchObject({ kind: 'total', mass_wet_kg: result.summary.fields[0].mass_wet_kg });
    for (const key of ['mass_wet_kg', 'mass_std_kg', 'area_ha'] as const) {
      const sum = rows.slice(0, -1).reduce((kg, row) => kg + row[key], 0);
      expect(sum / (total?.[key] ?? Number.NaN)).toBeCloseTo(1, 12);
    }
    if (by === 'field') expect(rows.map(({ group }) => group)).toEqual(['Home', 'all']);
    else expect(rows.at(-2)).toMatchObject({ kind: 'remainder', mass_wet_kg: expect.closeTo(BETWEEN_KG, 6) });
    for (const key of ['points', 'points_kept'] as const)
      expect(rows.slice(0, -1).reduce((sum, row) => sum + row[key], 0)).toBe(total?.[key]);
  });

  it('name machines, days at the machine, tickets and varieties', () => {
    const names = (by: (typeof GROUP_KINDS)[number]) =>
      totalsBy(by, season, result)[0]
        .rows.filter(({ kind }) => kind === 'group')
        .map(({ group }) => group);
    expect(names('machine')).toEqual(['new one', 'old one']);
    // 20:00 UTC is 13:46 by the sun at 93.6° west, and 15 hours later the next morning
    expect(names('day')).toEqual(['2026-10-03', '2026-10-04']);
    expect(names('load')).toEqual(['9', '10', NO_TICKET]);
    expect(names('variety')).toEqual(['Early']);
  });

  it('put numbers by size before words, however the tickets stand in the season', () => {
    const orders = [
      ['10', '1a', '9'],
      ['9', '1a', '10'],
      ['1a', '10', '9'],
    ];
    for (const tickets of orders) {
      const loads = tickets.map((ticket, k) => ({ ticket, start_s: k, end_s: k + 1 }));
      const load = base.pass.map((pass) => (pass < 3 ? pass : -1));
      const mixed = { ...result, loads, points: [{ ...points, load }] } as unknown as SeasonResult;
      const groups = totalsBy('load', season, mixed)[0].rows.map(({ group }) => group);
      expect(groups.slice(0, 4)).toEqual(['9', '10', '1a', NO_TICKET]);
    }
  });

  it('have the yield of their own ground', () => {
    const [{ rows }] = totalsBy('load', season, result);
    const kg = points.yield_kg_m2.subarray(60, 120).reduce((sum, one) => sum + one, 0) / 60;
    expect(rows[1].yield_t_ha).toBeCloseTo(10 * kg, 9);
    expect(rows[0]).toMatchObject({ points: 59, points_kept: 58 });
    expect(totalsBy('load', season, result, () => false)).toEqual([]);
  });
});
