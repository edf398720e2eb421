/** A part of very many paddles that tells the state of a sensor as well as all of them. */
import type { TimedPaddles } from './flow.ts';

/**
 * All paddles, or, when they are more than that, `stretches` (two at least) of `each` neighbours that are spread evenly from
 * the first to the last, one after the other. Stretches of hundreds leave running medians and differences what they are.
 */
export function samplePaddles(paddles: TimedPaddles, stretches: number, each: number): TimedPaddles {
  const n = paddles.t_s.length;
  if (n <= stretches * each) return paddles;
  const sampled = (column: Float64Array) => {
    const part = new Float64Array(stretches * each);
    for (let s = 0; s < stretches; s++) {
      const from = Math.floor((s * (n - each)) / (stretches - 1));
      part.set(column.subarray(from, from + each), s * each);
    }
    return part;
  };
  return {
    t_s: sampled(paddles.t_s),
    period_s: sampled(paddles.period_s),
    dark_fraction: sampled(paddles.dark_fraction),
    slots: sampled(paddles.slots),
  };
}
