/**
 * Draws for a bootstrap, the same on every run and machine (results must be a function of their input alone):
 * mulberry32, a 32-bit mixing generator in the public domain, from a fixed seed.
 */
export function createDeterministicDraw(seed = 0x5eaf): (below: number) => number {
  let state = seed | 0;
  return (below) => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return Math.floor((((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296) * below);
  };
}
