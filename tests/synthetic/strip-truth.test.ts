/** Treatments in strips whose worth is known, through the whole chain: threshing, lag, GPS, cut width, calibration, comparison. */
import { describe, expect, it } from 'vitest';
import type { ComparisonSheet } from '../../core/analysis/comparison/comparison-sheet.ts';
import { seasonComparisons } from '../../core/analysis/season-comparisons.ts';
import { decodeSeason } from '../../core/season-file.ts';
import { Random } from './random.ts';
import { filesOf, runSeason } from './recovery.ts';
import { scene } from './scene.ts';
import type { Corner } from './scene-spec.ts';
import { simulate } from './simulate.ts';
import { drawnStrips, treatedPasses } from './strip-layout.ts';

const PAIRS = 6;
const WIDTH_M = 9.144;
const NORTH_M = 130;
const CORNERS: readonly Corner[] = [
  [-95, -NORTH_M],
  [95, -NORTH_M],
  [95, NORTH_M],
  [-95, NORTH_M],
];

/** A and B in random order within each pair; B yields `factor` of A. */
function compared(seed: number, factor: number) {
  const random = new Random(seed, 'order of treatments');
  const order = Array.from({ length: PAIRS }, () =>
    random.uniform() < 0.5 ? ['A', 'B'] : ['B', 'A'],
  ).flat();
  const bare = { name: 'Trial', corners: CORNERS, relief_m: 0, edge_loss: 0 };
  const [field] = scene('plan').field(bare).spec.fields;
  const strips = treatedPasses(field, WIDTH_M, order, { B: factor });
  const season = simulate(
    scene('strips')
      .seed(seed)
      .field({ ...bare, strips })
      .machine({ header: { width_m: WIDTH_M } })
      .loads({ load_t: 8 }),
  );
  const read = decodeSeason(filesOf(season).texts.get('season.json') ?? '');
  if (!read.ok) throw new Error(read.error.text);
  const comparison: ComparisonSheet = {
    name: 'B for A',
    field: 'Trial',
    strips: drawnStrips(field, strips, [-NORTH_M, NORTH_M]),
  };
  const made = seasonComparisons({ ...read.value, comparisons: [comparison] }, runSeason(season), new Map());
  expect(made.refused).toEqual([]);
  return made.comparisons[0];
}

describe('strips of known worth', () => {
  it('are told by how much, within the interval that is said', () => {
    const found = compared(11, 1.06);
    expect(found.design).toMatchObject({ kind: 'pairs', blocks_from: 'layout' });
    const plain = found.treatments.find(({ treatment }) => treatment === 'A')?.yield_t_ha ?? Number.NaN;
    const [difference] = found.differences;
    expect(difference).toMatchObject({ higher: 'B', can_be_told: true });
    const [low, high] = difference.interval_t_ha ?? [];
    expect(low).toBeLessThan(0.06 * plain);
    expect(high).toBeGreaterThan(0.06 * plain);
    for (const strip of found.strips) expect(strip.points).toBeGreaterThan(50);
  });
});
