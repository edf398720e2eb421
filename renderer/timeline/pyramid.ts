/**
 * Least, greatest and mean of any stretch of a long column in logarithmic time: blocks of eight, blocks of eight blocks,
 * and so on. A day and a season are then drawn as fast as a minute.
 */

const BASE = 8;
/** Numbers taken in before the builder pauses. */
const CHUNK = 1 << 18;

interface Level {
  readonly least: Float64Array;
  readonly greatest: Float64Array;
  readonly sum: Float64Array;
  readonly count: Uint32Array;
}

export interface Stretch {
  /** Infinity and −Infinity when there is no number. */
  readonly least: number;
  readonly greatest: number;
  readonly mean: number;
  readonly count: number;
}

export class Pyramid {
  readonly #numbers: Float64Array;
  readonly #levels: readonly Level[];

  constructor(numbers: Float64Array, levels: readonly Level[]) {
    this.#numbers = numbers;
    this.#levels = levels;
  }

  /** Of the elements from `from` up to below `to`; NaN is left out. */
  over(from: number, to: number): Stretch {
    let low = Math.max(from, 0);
    let high = Math.min(to, this.#numbers.length);
    const found = { least: Infinity, greatest: -Infinity, sum: 0, count: 0 };
    for (; low < high && low % BASE !== 0; low++) this.#takeNumber(found, low);
    for (; low < high && high % BASE !== 0; ) this.#takeNumber(found, --high);
    for (const level of this.#levels) {
      low /= BASE;
      high /= BASE;
      if (low >= high) break;
      const isTop = level === this.#levels.at(-1);
      for (; low < high && (isTop || low % BASE !== 0); low++) takeBlock(found, level, low);
      for (; low < high && high % BASE !== 0; ) takeBlock(found, level, --high);
    }
    const mean = found.count > 0 ? found.sum / found.count : Number.NaN;
    return { least: found.least, greatest: found.greatest, mean, count: found.count };
  }

  #takeNumber(found: Found, at: number): void {
    const number = this.#numbers[at];
    if (Number.isNaN(number)) return;
    found.least = Math.min(found.least, number);
    found.greatest = Math.max(found.greatest, number);
    found.sum += number;
    found.count++;
  }
}

interface Found {
  least: number;
  greatest: number;
  sum: number;
  count: number;
}

function takeBlock(found: Found, level: Level, at: number): void {
  found.least = Math.min(found.least, level.least[at]);
  found.greatest = Math.max(found.greatest, level.greatest[at]);
  found.sum += level.sum[at];
  found.count += level.count[at];
}

/** Builds a pyramid; the generator stops for breath every quarter of a million numbers. */
export function* pyramidSteps(numbers: Float64Array): Generator<undefined, Pyramid> {
  const levels: Level[] = [];
  let size = Math.ceil(numbers.length / BASE);
  let below: Level | undefined;
  while (size > 0) {
    const level: Level = {
      least: new Float64Array(size).fill(Infinity),
      greatest: new Float64Array(size).fill(-Infinity),
      sum: new Float64Array(size),
      count: new Uint32Array(size),
    };
    const length: number = below ? below.sum.length : numbers.length;
    for (let from = 0; from < length; from += CHUNK) {
      const to = Math.min(from + CHUNK, length);
      if (below) foldLevel(level, below, from, to);
      else foldNumbers(level, numbers, from, to);
      if (to < length) yield undefined;
    }
    levels.push(level);
    below = level;
    if (size === 1) break;
    size = Math.ceil(size / BASE);
  }
  return new Pyramid(numbers, levels);
}

/** Builds a pyramid at once, for short columns. */
export function pyramidOf(numbers: Float64Array): Pyramid {
  const steps = pyramidSteps(numbers);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

function foldNumbers(level: Level, numbers: Float64Array, from: number, to: number): void {
  for (let i = from; i < to; i++) {
    const number = numbers[i];
    if (Number.isNaN(number)) continue;
    const block = (i / BASE) | 0;
    if (number < level.least[block]) level.least[block] = number;
    if (number > level.greatest[block]) level.greatest[block] = number;
    level.sum[block] += number;
    level.count[block]++;
  }
}

function foldLevel(level: Level, below: Level, from: number, to: number): void {
  for (let i = from; i < to; i++) {
    const block = (i / BASE) | 0;
    if (below.least[i] < level.least[block]) level.least[block] = below.least[i];
    if (below.greatest[i] > level.greatest[block]) level.greatest[block] = below.greatest[i];
    level.sum[block] += below.sum[i];
    level.count[block] += below.count[i];
  }
}
