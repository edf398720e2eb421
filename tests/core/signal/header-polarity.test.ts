import { describe, expect, it } from 'vitest';
import { headerIsReversed } from '../../../core/signal/header-polarity.ts';
import { range } from './made-fixes.ts';

/** Ten paddles a second for 400 s: full 12 s after the first half of every 100 s, when crop was cut. */
function paddles(fuller: number) {
  const t_s = Float64Array.from(range(4000), (i) => i / 10);
  const dark_fraction = t_s.map((t) => ((t - 12 + 100) % 100 < 50 ? 0.1 + fuller : 0.1));
  return { t_s, dark_fraction, period_s: t_s.map(() => 0.1), slots: t_s.map(() => 1) };
}
/** The switch moves every 50 s, from 0 on. */
const header = (upWhileCutting: 0 | 1) => ({
  t_s: Float64Array.from(range(8), (i) => 50 * i),
  up: Uint8Array.from(range(8), (i) => (i % 2 === 0 ? upWhileCutting : 1 - upWhileCutting)),
});

describe('polarity of the header switch', () => {
  it('is contradicted by grain that comes while it says up', () => {
    expect(headerIsReversed(header(1), paddles(0.4))).toBe(true);
    expect(headerIsReversed(header(0), paddles(0.4))).toBe(false);
  });

  it('is believed when the paddles differ by less than 4 %', () => {
    expect(headerIsReversed(header(1), paddles(0.02))).toBe(false);
  });

  it('is believed when only one state was seen, or hardly any paddle', () => {
    const stuck = { t_s: Float64Array.of(0), up: Uint8Array.of(1) };
    expect(headerIsReversed(stuck, paddles(0.4))).toBe(false);
    expect(headerIsReversed({ t_s: new Float64Array(), up: new Uint8Array() }, paddles(0.4))).toBe(false);
    const hidden = { ...paddles(0.4), dark_fraction: new Float64Array(4000).fill(Number.NaN) };
    expect(headerIsReversed(header(1), hidden)).toBe(false);
  });
});
