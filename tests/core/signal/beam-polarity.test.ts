import { describe, expect, it } from 'vitest';
import type { BeamEdges } from '../../../core/read/logger-run.ts';
import { polarityOf, unevennessOf } from '../../../core/signal/beam-polarity.ts';

/** Paddles every 100 ms whose undersides are even to 0.1 ms and whose heaps differ by `heap_us`. */
function edges(paddles: number, heap_us: number) {
  const tick_us: number[] = [];
  const dark: number[] = [];
  for (let i = 0; i < paddles; i++) {
    const trailing_us = 100_000 * i + 100 * Math.sin(7.1 * i);
    tick_us.push(trailing_us - 30_000 - heap_us * Math.sin(3.7 * i), trailing_us);
    dark.push(1, 0);
  }
  return { tick_us: Float64Array.from(tick_us), dark: Uint8Array.from(dark) };
}

const inverted = ({ tick_us, dark }: BeamEdges) => ({ tick_us, dark: dark.map((state) => 1 - state) });
const polarity = (...runs: readonly BeamEdges[]) => polarityOf(runs.map(unevennessOf));

describe('polarity of the beam', () => {
  it('is told by steel edges being the even ones', () => {
    expect(polarity(edges(2000, 5000))).toBe('as_logged');
    expect(polarity(inverted(edges(2000, 5000)))).toBe('inverted');
  });

  it('is left open where an empty elevator or too few paddles cannot tell', () => {
    expect(polarity(inverted(edges(2000, 20)))).toBeUndefined();
    expect(polarity(inverted(edges(300, 5000)))).toBeUndefined();
    expect(polarity()).toBeUndefined();
  });

  it('is judged over all runs of a machine', () => {
    const short = inverted(edges(300, 5000));
    expect(polarity(short, short, short)).toBe('inverted');
  });
});
