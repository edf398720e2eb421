/**
 * Seeded randomness of the simulator: sfc32 (the "small fast counter" generator of C. Doty-Humphrey's PractRand),
 * seeded by a hash of (seed, stream name). Every cause of variation has a stream of its own, so that switching
 * one on or off leaves the others as they were.
 */

/** One stream of reproducible random numbers. */
export class Random {
  #a: number;
  #b: number;
  #c: number;
  #counter = 1;
  #spareNormal = Number.NaN;

  /** `seed` any finite number; `stream` names the cause of variation, e.g. `c1/height noise`. */
  constructor(seed: number, stream: string) {
    const text = `${seed}/${stream}`;
    this.#a = hash32(text, 0x9e3779b9);
    this.#b = hash32(text, 0x243f6a88);
    this.#c = hash32(text, 0xb7e15162);
    for (let i = 0; i < 15; i++) this.#next32();
  }

  /** Uniform in [0, 1). */
  uniform(): number {
    return this.#next32() / 4294967296;
  }

  /** Uniform in [low, high). */
  between(low: number, high: number): number {
    return low + (high - low) * this.uniform();
  }

  /** Integer in 0..count − 1. */
  integer(count: number): number {
    return Math.floor(this.uniform() * count);
  }

  /** Exponentially distributed with the given mean. */
  exponential(mean: number): number {
    return -mean * Math.log(1 - this.uniform());
  }

  /** Standard normal (Box and Muller). */
  normal(): number {
    if (!Number.isNaN(this.#spareNormal)) {
      const spare = this.#spareNormal;
      this.#spareNormal = Number.NaN;
      return spare;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - this.uniform()));
    const angle = 2 * Math.PI * this.uniform();
    this.#spareNormal = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  }

  #next32(): number {
    const sum = (((this.#a + this.#b) | 0) + this.#counter) | 0;
    this.#counter = (this.#counter + 1) | 0;
    this.#a = this.#b ^ (this.#b >>> 9);
    this.#b = (this.#c + (this.#c << 3)) | 0;
    this.#c = ((this.#c << 21) | (this.#c >>> 11)) + sum;
    this.#c |= 0;
    return sum >>> 0;
  }
}

/** FNV-1a with a salt and a final avalanche. */
function hash32(text: string, salt: number): number {
  let hash = 0x811c9dc5 ^ salt;
  for (let i = 0; i < text.length; i++) {
    hash ^= text.charCodeAt(i);
    hash = Math.imul(hash, 0x01000193);
  }
  hash ^= hash >>> 16;
  hash = Math.imul(hash, 0x85ebca6b);
  hash ^= hash >>> 13;
  return hash | 0;
}
