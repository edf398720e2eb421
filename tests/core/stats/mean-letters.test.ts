import { describe, expect, it } from 'vitest';
import { meanLetters } from '../../../core/stats/mean-letters.ts';

describe('letters beside means', () => {
  it('share one where two cannot be told apart', () => {
    const means = [10, 9, 7, 4];
    const letters = meanLetters(4, (i, j) => Math.abs(means[i] - means[j]) > 2.5, [0, 1, 2, 3]);
    expect(letters).toEqual(['a', 'ab', 'b', 'c']);
  });

  it('are all a where none differ, and all different where all do', () => {
    expect(meanLetters(3, () => false, [2, 0, 1])).toEqual(['a', 'a', 'a']);
    expect(meanLetters(3, () => true, [2, 0, 1])).toEqual(['b', 'c', 'a']);
  });

  it('hold for differences that follow no order', () => {
    const differ = new Set(['0 2', '1 3']);
    const isTold = (i: number, j: number) => differ.has(`${Math.min(i, j)} ${Math.max(i, j)}`);
    const letters = meanLetters(4, isTold, [0, 1, 2, 3]);
    for (let i = 0; i < 4; i++)
      for (let j = i + 1; j < 4; j++)
        expect([...letters[i]].some((one) => letters[j].includes(one))).toBe(!isTold(i, j));
  });
});
