import { describe, expect, it } from 'vitest';
import type { Notice } from '../../core/errors.ts';
import { fewOfEach } from '../../core/notice-limit.ts';

function notices(code: string, source: string, count: number): Notice[] {
  return Array.from({ length: count }, (_, i) => ({
    code,
    severity: 'look',
    source,
    line: i + 1,
    count: 2,
    text: `${source}, line ${i + 1}: odd.`,
  }));
}

describe('fewOfEach', () => {
  it('leaves a few alone', () => {
    const few = [
      ...notices('odd', 'a.csv', 25),
      ...notices('odd', 'b.csv', 25),
      ...notices('even', 'a.csv', 3),
    ];
    expect(fewOfEach(few)).toEqual(few);
  });

  it('tells the first of each code and file, and how many more there are', () => {
    const many = [...notices('odd', 'a.csv', 1000), ...notices('even', 'a.csv', 1)];
    const few = fewOfEach(many);
    expect(few).toHaveLength(27);
    expect(few.slice(0, 25)).toEqual(many.slice(0, 25));
    expect(few[25]).toEqual(many[1000]);
    expect(few[26]).toEqual({
      code: 'more_of_a_kind',
      severity: 'look',
      source: 'a.csv',
      count: 1950,
      text: 'a.csv: 975 more of this kind (odd) were found and are not listed; mend those that are, and look again.',
    });
  });

  it('told twice is the same as told once', () => {
    const once = fewOfEach([...notices('odd', 'a.csv', 100), ...notices('even', 'a.csv', 100)]);
    expect(fewOfEach(once)).toEqual(once);
  });
});
