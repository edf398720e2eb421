/**
 * How often strips that were treated alike are called different: what the tests promise must hold on ground whose yields are
 * alike near by, where a test of single points breaks its promise.
 */
import { describe, expect, it } from 'vitest';
import { stripDesign } from '../../../../core/analysis/comparison/strip-design.ts';
import { testTreatments } from '../../../../core/analysis/comparison/treatment-test.ts';
import { welchTTest } from '../../../../core/stats/t-tests.ts';
import { Random } from '../../../synthetic/random.ts';
import { randomSurface } from '../../../synthetic/random-surface.ts';

const TRIALS = 400;
const STRIPS = 12;
const POINTS = 40;
const [WIDTH_M, SPACING_M, RANGE_M] = [9, 3, 80];
const ALPHA = 0.05;

/** Yields of strips of even treatment on uneven ground: by strip and point. */
function evenField(seed: number): Float64Array[] {
  const ground = randomSurface(new Random(seed, 'ground'), RANGE_M);
  const noise = new Random(seed, 'noise');
  return Array.from({ length: STRIPS }, (_, strip) =>
    Float64Array.from(
      { length: POINTS },
      (_, k) => 10 + ground.at(strip * WIDTH_M, k * SPACING_M) + 0.5 * noise.normal(),
    ),
  );
}

/** `count` treatments in every run of as many strips, each run in an order of its own. */
function shuffledBlocks(random: Random, count: number): string[] {
  return Array.from({ length: STRIPS / count }, () => shuffled(random, [...'ABCDEF'].slice(0, count))).flat();
}

function shuffled<T>(random: Random, list: T[]): T[] {
  for (let k = list.length - 1; k > 0; k--) {
    const other = random.integer(k + 1);
    [list[k], list[other]] = [list[other], list[k]];
  }
  return list;
}

const trials = Array.from({ length: TRIALS }, (_, seed) => {
  const field = evenField(seed);
  const means = Float64Array.from(field, (strip) => strip.reduce((sum, one) => sum + one, 0) / POINTS);
  const random = new Random(seed, 'layout');
  const pOf = (treatments: readonly string[], isBlocked: boolean) => {
    const size = new Set(treatments).size;
    const strips = treatments.map((treatment, k) => ({
      treatment,
      replicate: isBlocked ? String(Math.floor(k / size)) : undefined,
      across_m: isBlocked ? k : Number.NaN,
    }));
    const design = stripDesign(strips);
    const unblocked = { ...design, blocks: [], blocks_from: null, block: new Int32Array(STRIPS) };
    return testTreatments(means, isBlocked ? design : unblocked, ALPHA).test?.p ?? Number.NaN;
  };
  const mixed = shuffled(random, [...'AAAAAABBBBBB']);
  const pointsOf = (wanted: string) => field.flatMap((strip, k) => (mixed[k] === wanted ? [...strip] : []));
  return {
    pairs: pOf(shuffledBlocks(random, 2), true),
    blocks: pOf(shuffledBlocks(random, 4), true),
    welch: pOf(mixed, false),
    one_way: pOf(shuffled(random, [...'AAAABBBBCCCC']), false),
    points: welchTTest(pointsOf('A'), pointsOf('B')).p_two_sided,
  };
});

function alarms(test: keyof (typeof trials)[number]): number {
  return trials.filter((trial) => trial[test] <= ALPHA).length / TRIALS;
}

describe('400 trials without a true difference', () => {
  it.each(['pairs', 'blocks', 'welch', 'one_way'] as const)('%s: called different in 5 of 100', (test) => {
    expect(alarms(test)).toBeGreaterThanOrEqual(0.03);
    expect(alarms(test)).toBeLessThanOrEqual(0.07);
  });

  it('a test of single points calls them different far more often', () => {
    expect(alarms('points')).toBeGreaterThan(0.4);
  });
});
