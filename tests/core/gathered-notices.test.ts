import { describe, expect, it } from 'vitest';
import type { Notice } from '../../core/errors.ts';
import { gatheredNotices, gatheredText } from '../../core/gathered-notices.ts';

function notice(code: string, source: string, text: string): Notice {
  return { code, severity: 'mend', source, count: 1, text };
}

describe('gatheredNotices', () => {
  it('lets the first of many alike stand for all, in the order in which they came', () => {
    const found = [
      notice('a', 'tickets.csv', 'first a'),
      notice('b', 'tickets.csv', 'only b'),
      notice('a', 'tickets.csv', 'second a'),
      notice('a', 'tickets.csv', 'third a'),
    ];
    expect(gatheredNotices(found).map(gatheredText)).toEqual(['first a (and 2 more of this kind)', 'only b']);
  });

  it('leaves two of a kind, and those of different sources, by themselves', () => {
    const found = ['one.csv', 'one.csv', 'two.csv', 'three.csv'].map((source) => notice('a', source, source));
    expect(gatheredNotices(found).map(gatheredText)).toEqual(['one.csv', 'one.csv', 'two.csv', 'three.csv']);
  });
});
