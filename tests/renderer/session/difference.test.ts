import { describe, expect, it } from 'vitest';
import { differences, differenceWords } from '../../../renderer/session/difference.ts';
import { SEASON, summaryOf } from './stand-in-host.ts';

describe('what a change did', () => {
  it('names every field that differs, in the units shown', () => {
    // 1000 kg more of 100,000: +1 %; corn 56 lb and soybean 60 lb a bushel: 39.4 and 36.7 bu.
    const words = differenceWords(summaryOf(100_000), summaryOf(101_000), SEASON, 'us');
    expect(words).toBe('Home +39 bu (+1.00 %) · Far +37 bu (+1.00 %)');
    expect(differenceWords(summaryOf(101_000), summaryOf(100_000), SEASON, 'metric')).toBe(
      'Home −1.00 t (−0.99 %) · Far −1.00 t (−0.99 %)',
    );
  });

  it('says so when nothing differs', () => {
    expect(differences(summaryOf(1000), summaryOf(1000))).toEqual([]);
    expect(differenceWords(summaryOf(1000), summaryOf(1000), SEASON, 'us')).toBe('no total changed');
  });

  it('speaks of points and of certainty where the total stays', () => {
    const before = summaryOf(100_000);
    const after = structuredClone(before);
    Object.assign(after.fields[0], {
      mean_yield_se_t_ha: 0.2,
      points: { ...after.fields[0].points, kept: 5 },
    });
    // 0.1 t/ha over 10 ha, 95 %: 1.96 t.
    expect(differenceWords(before, after, SEASON, 'metric')).toBe(
      'Home: total the same, ± 1.96 t less certain, −3 points on the map',
    );
  });
});
