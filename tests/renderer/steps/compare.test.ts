import { describe, expect, it } from 'vitest';
import type { FieldComparison } from '../../../core/analysis/comparison/comparison-result.ts';
import type { TotalsRow } from '../../../core/analysis/totals/group-totals.ts';
import { leftOutWords, shownYield } from '../../../renderer/steps/compare/compare-words.ts';
import {
  basisOf,
  perShownArea,
  priceKey,
  turnedPrice,
  withPrice,
} from '../../../renderer/steps/compare/price-sheets.ts';
import { sortedRows } from '../../../renderer/steps/compare/totals-order.ts';
import { SEASON } from '../session/stand-in-host.ts';

/** 60 lb [USDA weights and measures, from memory]. */
const SOYBEAN_BUSHEL_KG = 27.2155422;

const row = (group: string, yield_t_ha: number | null, kind: TotalsRow['kind'] = 'group'): TotalsRow => ({
  kind,
  group,
  area_ha: 1,
  mass_wet_kg: 1,
  mass_std_kg: 1,
  moisture_pct: 15,
  yield_t_ha,
  points: 1,
  points_kept: 1,
});

describe('tables of totals', () => {
  it('are put in order by any column, with the remainder and the total last and what has no number behind', () => {
    const rows = [
      row('10', 3),
      row('9', 5),
      row('x', null),
      row('rest', null, 'remainder'),
      row('all', 4, 'total'),
    ];
    const groups = (sorting: Parameters<typeof sortedRows>[1]) =>
      sortedRows(rows, sorting).map(({ group }) => group);
    expect(groups(null)).toEqual(['10', '9', 'x', 'rest', 'all']);
    expect(groups({ column: 'group', way: 'up' })).toEqual(['9', '10', 'x', 'rest', 'all']);
    expect(groups({ column: 'yield_t_ha', way: 'down' })).toEqual(['9', '10', 'x', 'rest', 'all']);
    expect(groups({ column: 'yield_t_ha', way: 'up' })).toEqual(['10', '9', 'x', 'rest', 'all']);
  });
});

describe('prices as the window edits them', () => {
  it('stay by what they were typed in, whatever units are shown', () => {
    expect(basisOf({ crop: 'corn', price_per_bu: 4 }, 'metric', 25.4)).toBe('bu');
    expect(basisOf({ crop: 'corn', price_per_t: 150 }, 'us', 25.4)).toBe('t');
    expect(basisOf(undefined, 'us', 25.4)).toBe('bu');
    expect(basisOf(undefined, 'us', Number.NaN)).toBe('t');
    expect(priceKey('drying_per_point', 'bu')).toBe('drying_per_point_bu');
  });

  it('turn from bushels into tonnes: all of them, and nothing else', () => {
    const price = { crop: 'soybeans', price_per_bu: 10.2, hauling_per_bu: 0.15, sold_at_moisture_pct: 13 };
    // 1000 kg / 27.2155422 kg = 36.74371 bu a tonne, times 10.2 $ and 0.15 $
    expect(turnedPrice(price, 't', SOYBEAN_BUSHEL_KG)).toEqual({
      crop: 'soybeans',
      price_per_t: 374.7858,
      hauling_per_t: 5.5116,
      sold_at_moisture_pct: 13,
    });
  });

  it('take the place of the price of the same crop under another of its names', () => {
    const season = { ...SEASON, settings: { margin: { prices: [{ crop: 'soybeans', price_per_bu: 10 }] } } };
    const price = { crop: 'soybean', price_per_bu: 11 };
    expect(withPrice(season, 'soybean', price)).toEqual([price]);
    expect(withPrice(season, 'corn', { crop: 'corn', price_per_bu: 4 })).toHaveLength(2);
    expect(withPrice(season, 'soybean', null)).toEqual([]);
  });

  it('are shown for an acre of 0.40468564224 ha [NIST SP 811]', () => {
    expect(perShownArea(100, 'us')).toBeCloseTo(40.468564224, 9);
    expect(perShownArea(100, 'metric')).toBe(100);
  });
});

describe('words of a comparison', () => {
  it('say what does not count, and why', () => {
    const left_out = { screened: 0, straddling: 3, over_edge: 0, near_end: 9, near_side: 0 };
    const strips = [{ left_out }, { left_out: { ...left_out, straddling: 0 } }];
    const made = { strips, points_elsewhere: 40 } as unknown as FieldComparison;
    expect(leftOutWords(made)).toBe(
      '21 points in the strips do not count: 3 lay in two strips, 18 were near an end. 40 points of the field lie in no strip.',
    );
  });

  it('and charts have one unit', () => {
    const { shown, unit } = shownYield('us', SOYBEAN_BUSHEL_KG);
    // 1 t/ha of soybean is 14.87 bu/ac [USDA, from memory]
    expect(shown(1)).toBeCloseTo(14.87, 2);
    expect(unit).toBe('bu/ac');
    expect(shownYield('metric', SOYBEAN_BUSHEL_KG)).toMatchObject({ unit: 't/ha', digits: 2 });
  });
});
