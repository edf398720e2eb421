/** A part of very many paddles that tells the state of a sensor as well as all of them. */
import type { TimedPaddles } from './flow.ts';

/** Medians and scatters of so many are known to a thousandth of themselves. */
const MOST_PADDLES = 500_000;
/** Long enough that running medians and neighbours lose next to nothing at its ends. */
const STRETCH = 5_000;

/** All paddles, or, of very many, stretches of neighbours that are evenly spread over them, one after the other. */
export function samplePaddles(paddles: TimedPaddles): TimedPaddles {
  const n = paddles.t_s.length;
  if (n <= MOST_PADDLES) return paddles;
  const stretches = MOST_PADDLES / STRETCH;
  const sampled = (column: Float64Array) => {
    const part = new Float64Array(MOST_PADDLES);
    for (let s = 0; s < stretches; s++) {
      const from = Math.floor((s * (n - STRETCH)) / (stretches - 1));
      part.set(column.subarray(from, from + STRETCH), s * STRETCH);
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
