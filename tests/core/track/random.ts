/** Seeded noise for the track tests: mulberry32 (public domain generator of T. Ettinger) and Box–Muller. */
export interface Noise {
  uniform(): number;
  normal(): number;
}

export function seededNoise(seed: number): Noise {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
  return {
    uniform,
    normal: () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
  };
}

/** A slowly drifting error: first-order Gauss–Markov with standard deviation `sd` and correlation time `tau_s`. */
export function drift(noise: Noise, sd: number, tau_s: number, step_s: number): () => number {
  const keep = Math.exp(-step_s / tau_s);
  let now = sd * noise.normal();
  return () => {
    now = keep * now + sd * Math.sqrt(1 - keep * keep) * noise.normal();
    return now;
  };
}
