import type { Random } from '../../synthetic/random.ts';

/** A slowly drifting error: first-order Gauss–Markov with standard deviation `sd` and correlation time `tau_s`. */
export function drift(random: Random, sd: number, tau_s: number, step_s: number): () => number {
  const keep = Math.exp(-step_s / tau_s);
  let now = sd * random.normal();
  return () => {
    now = keep * now + sd * Math.sqrt(1 - keep * keep) * random.normal();
    return now;
  };
}
