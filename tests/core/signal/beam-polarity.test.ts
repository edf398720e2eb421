import { describe, expect, it } from 'vitest';
import { beamIsInverted, invertedEdges } from '../../../core/signal/beam-polarity.ts';

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

describe('polarity of the beam', () => {
  it('is told by steel edges being the even ones', () => {
    expect(beamIsInverted([edges(2000, 5000)])).toBe(false);
    expect(beamIsInverted([invertedEdges(edges(2000, 5000))])).toBe(true);
  });

  it('is left as logged where an empty elevator or too few paddles cannot tell', () => {
    expect(beamIsInverted([invertedEdges(edges(2000, 20))])).toBe(false);
    expect(beamIsInverted([invertedEdges(edges(300, 5000))])).toBe(false);
    expect(beamIsInverted([])).toBe(false);
  });

  it('is judged over all runs of a machine', () => {
    const short = invertedEdges(edges(300, 5000));
    expect(beamIsInverted([short, short, short])).toBe(true);
  });
});
