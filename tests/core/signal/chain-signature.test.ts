import { describe, expect, it } from 'vitest';
import { chainSignature } from '../../../core/signal/chain-signature.ts';

/** Empty running with one paddle of `count` darker by `extra`; noise is a fixed small sawtooth. */
function running(rows: number, count: number, bent: number, extra: number) {
  const dark_fraction = Float64Array.from(
    { length: rows },
    (_, i) => 0.08 + (i % count === bent ? extra : 0) + 0.001 * ((((i * 7919) % 101) - 50) / 50),
  );
  return { dark_fraction, slots: new Float64Array(rows).fill(1), period_s: new Float64Array(rows).fill(0.1) };
}
const spell = (first: number, last: number) => ({ first, last, mode: 0.08 });

describe('chain signature', () => {
  it('finds the bent paddle, its place and what it adds to the mean', () => {
    const found = chainSignature(running(610, 61, 17, 0.03), [spell(0, 610)], 61);
    expect(found?.bent.map(({ slot }) => slot)).toEqual([17]);
    expect(found?.bent[0].extra_dark_fraction).toBeCloseTo(0.03, 2);
    expect(found?.mean_extra_dark_fraction).toBeCloseTo(0.03 / 61, 4);
    expect(found?.revolutions).toBe(10);
  });

  it('counts on through a missed paddle and a hidden one', () => {
    const whole = running(610, 61, 17, 0.03);
    whole.dark_fraction[40] = Number.NaN;
    const keep = [...whole.slots.keys()].filter((i) => i !== 200);
    const paddles = {
      dark_fraction: Float64Array.from(keep, (i) => whole.dark_fraction[i]),
      slots: Float64Array.from(keep, (i) => (i === 201 ? 2 : 1)),
      period_s: whole.period_s.slice(1),
    };
    expect(chainSignature(paddles, [spell(0, 609)], 61)?.bent.map(({ slot }) => slot)).toEqual([17]);
  });

  it('folds the longest spell and has no answer for fewer than four revolutions', () => {
    const paddles = running(610, 61, 17, 0.03);
    expect(chainSignature(paddles, [spell(0, 60), spell(61, 610)], 61)?.revolutions).toBe(9);
    expect(chainSignature(paddles, [spell(0, 243)], 61)).toBeUndefined();
    expect(chainSignature(paddles, [], 61)).toBeUndefined();
  });

  it('finds nothing in noise', () => {
    const found = chainSignature(running(610, 61, 0, 0), [spell(0, 610)], 61);
    expect(found).toMatchObject({ bent: [], mean_extra_dark_fraction: 0 });
  });
});
