import { describe, expect, it } from 'vitest';
import { type ComparisonInput, compareStrips } from '../../../../core/analysis/comparison/comparison.ts';
import type { FieldComparison } from '../../../../core/analysis/comparison/comparison-result.ts';
import type { FieldPoints } from '../../../../core/result.ts';
import { Random } from '../../../synthetic/random.ts';
import { randomSurface } from '../../../synthetic/random-surface.ts';
import { type StripTrial, trialPoints, trialSheet } from './strip-trial.ts';

const WORDS = { unit: 't/ha', number: (yield_t_ha: number) => yield_t_ha.toFixed(2) };

function inputOf(trial: StripTrial, more: Partial<ComparisonInput> = {}): ComparisonInput {
  return {
    sheet: trialSheet(trial),
    points: trialPoints(trial),
    text: undefined,
    surface: undefined,
    summary: undefined,
    epoch_utc_s: 1_790_000_000,
    machines: ['c1'],
    machine_names: ['combine 1'],
    words: WORDS,
    ...more,
  };
}

function compared(input: ComparisonInput): FieldComparison {
  const found = compareStrips(input);
  if (!found.ok) throw new Error(found.error.text);
  return found.value;
}

const ground = randomSurface(new Random(3, 'trial'), 60);
const noise = new Random(4, 'noise');
/** 10 t/ha on uneven ground, B worth half a tonne more. */
const ALTERNATING: StripTrial = {
  treatments: ['A', 'B', 'B', 'A', 'A', 'B', 'B', 'A', 'A', 'B', 'B', 'A'],
  yieldAt: (treatment, east_m, north_m) =>
    1 + 0.05 * ground.at(east_m, north_m) + (treatment === 'B' ? 0.05 : 0) + 0.03 * noise.normal(),
};

describe('treatments in strips', () => {
  it('are told apart by how much, with its error and its chance', () => {
    const found = compared(inputOf(ALTERNATING));
    expect(found.design).toMatchObject({
      kind: 'pairs',
      blocks_from: 'layout',
      blocks: ['1', '2', '3', '4', '5', '6'],
    });
    const [difference] = found.differences;
    expect(difference).toMatchObject({ higher: 'B', lower: 'A', df: 5, can_be_told: true });
    expect(Math.abs(difference.difference_t_ha - 0.5)).toBeLessThan(0.2);
    expect(difference.interval_t_ha?.[0]).toBeLessThan(0.5);
    expect(difference.interval_t_ha?.[1]).toBeGreaterThan(0.5);
    expect(found.told[0]).toMatch(
      /^B outyielded A by 0\.\d\d ± 0\.\d\d t\/ha \(95 % interval 0\.\d\d to 0\.\d\d\); so large a difference comes by chance alone in fewer than 1 in 1000 such trials\.$/,
    );
    expect(found.treatments.map(({ treatment, letters }) => [treatment, letters])).toEqual([
      ['B', 'a'],
      ['A', 'b'],
    ]);
    expect(found.cautions).toEqual([]);
  });

  it('have means of kilograms over square metres, and points that share their errors', () => {
    const points = trialPoints(ALTERNATING);
    const found = compared(
      inputOf(ALTERNATING, { points, sheet: trialSheet(ALTERNATING, { end_buffer_m: 0 }) }),
    );
    const own = points.yield_kg_m2.subarray(0, 60);
    const [strip] = found.strips;
    expect(strip.points).toBe(60);
    expect(strip.yield_t_ha).toBeCloseTo((10 * own.reduce((sum, amount) => sum + amount, 0)) / 60, 12);
    expect(strip.moisture_pct).toBeCloseTo(18, 12);
    expect(strip.mass_std_kg).toBeCloseTo((strip.mass_wet_kg * 82) / 84.5, 9);
    // some ranges of 60 m fit into 120 m of way: a handful of points would tell as much
    expect(strip.effective_points).toBeGreaterThan(1);
    expect(strip.effective_points).toBeLessThan(20);
    expect(strip.yield_se_t_ha).toBeGreaterThan(0.05);
  });

  it('that yield alike cannot be told apart, and what would be seen is said', () => {
    const alike = {
      ...ALTERNATING,
      yieldAt: (_: string, e: number, n: number) => 1 + 0.05 * ground.at(e, n) + 0.02 * noise.normal(),
    };
    const found = compared(inputOf(alike, { sheet: trialSheet(alike, { worthwhile_t_ha: 0.1 }) }));
    expect(found.differences[0].can_be_told).toBe(false);
    expect(found.told[0]).toMatch(
      /cannot be told apart: .* With 6 replicates a true difference of \d\.\d\d t\/ha would be seen in 80 of 100/,
    );
    expect(found.treatments.map(({ letters }) => letters)).toEqual(['a', 'a']);
    expect(found.power?.needed[0].difference_t_ha).toBe(0.1);
  });

  it('leave out what straddles, what is near an end, and what was screened', () => {
    const points = trialPoints(ALTERNATING);
    points.screened_by[30] = 5;
    // two metres to the east: a fifth of each cut lies in the next strip
    const shifted: FieldPoints = {
      ...points,
      east_m: points.east_m.map((east, row) => (row < 60 && row > 49 ? east + 2 : east)),
    };
    const found = compared(inputOf(ALTERNATING, { points: shifted, sheet: trialSheet(ALTERNATING) }));
    expect(found.strips[0].left_out).toEqual({
      screened: 1,
      straddling: 10,
      over_edge: 0,
      near_end: 5,
      near_side: 0,
    });
    expect(found.strips[0].points).toBe(60 - 16);
    expect(found.strips[1].left_out).toMatchObject({ straddling: 0, near_end: 10 });
    const wider = { ...ALTERNATING, margin_m: 1 };
    // drawn half a metre wider on either side
    const sides = (side_buffer_m: number) =>
      compareStrips(inputOf(ALTERNATING, { sheet: trialSheet(wider, { end_buffer_m: 0, side_buffer_m }) }));
    const within = sides(0.4);
    expect(within.ok && within.value.strips.map((strip) => strip.points)).toEqual(Array(12).fill(60));
    const beyond = sides(0.6);
    expect(beyond.ok ? '' : beyond.error.text).toMatch(/buffers/);
  });

  it('with a single strip each are not judged', () => {
    const single = { ...ALTERNATING, treatments: ['A', 'B'] };
    const found = compared(inputOf(single));
    expect(found.test).toBeNull();
    expect(found.power).toBeNull();
    expect(found.told[0]).toMatch(/nothing says whether that is the treatment or the ground/);
    expect(found.cautions[0]).toMatch(/points of one strip are no replicates/);
  });

  it('in named blocks with a cell missing are adjusted for it', () => {
    const treatments = ['A', 'B', 'C', 'B', 'C', 'A', 'C', 'A', 'B', 'A', 'B'];
    const replicates = ['1', '1', '1', '2', '2', '2', '3', '3', '3', '4', '4'];
    const worth: Record<string, number> = { A: 0, B: 0.1, C: 0.2 };
    // the fourth block, which lacks C, is far better: a plain mean would say that A and B are
    const trial: StripTrial = {
      treatments,
      replicates,
      yieldAt: (treatment, east_m) => 1 + worth[treatment] + (east_m > 81 ? 0.5 : 0) + 0.01 * noise.normal(),
    };
    const found = compared(inputOf(trial));
    expect(found.design).toMatchObject({ kind: 'blocks', blocks_from: 'sheet' });
    expect(found.test).toMatchObject({ kind: 'randomised_blocks', degrees_of_freedom: 5 });
    expect(found.treatments.map(({ treatment, letters }) => treatment + letters)).toEqual(['Ca', 'Bb', 'Ac']);
    expect(found.differences[0].difference_t_ha).toBeCloseTo(2, 1);
    expect(found.cautions.join(' ')).toMatch(/1 of 12 cells are missing; means are adjusted/);
    expect(found.power?.f_power).toBeGreaterThan(0.05);
  });

  it('by time: spells of one machine are the strips, and a rest makes no second one', () => {
    const epoch = 1_790_000_000;
    const at = (s: number) => `${new Date((epoch + s) * 1000).toISOString().slice(0, 19)}Z`;
    const trial = { ...ALTERNATING, treatments: ['A', 'A', 'B', 'B', 'A', 'A', 'B', 'B'] };
    const spans = [0, 1, 2, 3, 4, 5, 6, 7].map((pass) => ({
      treatment: trial.treatments[pass],
      from: at(90 * pass - 5),
      to: at(90 * pass + 70),
    }));
    const found = compared(inputOf(trial, { sheet: { name: 'Varieties', field: 'Home', spans } }));
    expect(found.strips.map(({ treatment, points }) => [treatment, points])).toEqual([
      ['A', 120],
      ['B', 120],
      ['A', 120],
      ['B', 120],
    ]);
    expect(found.design.about).toMatch(/^Each spell of one treatment by one machine/);
  });

  it('cut by different machines are compared with a caution', () => {
    const points = trialPoints(ALTERNATING);
    const machine = points.pass.map((pass) => (ALTERNATING.treatments[pass] === 'A' ? 0 : 1));
    const found = compared(
      inputOf(ALTERNATING, {
        points: { ...points, machine },
        machines: ['c1', 'c2'],
        machine_names: ['one', 'two'],
      }),
    );
    expect(found.cautions.join(' ')).toMatch(/not cut by the same machines \(A by one; B by two\)/);
  });

  it('named in part as pairs, or each by a name of its own, are told what to mend', () => {
    const sheet = trialSheet(ALTERNATING);
    const strips = sheet.strips?.map((strip, k) => (k < 4 ? { ...strip, replicate: '1' } : strip));
    const part = compared(inputOf(ALTERNATING, { sheet: { ...sheet, strips } }));
    expect(part.design.kind).toBe('unpaired');
    expect(part.test?.kind).toBe('welch_t');
    expect(part.cautions.join(' ')).toMatch(/name one for every strip/);
    const single = { ...ALTERNATING, treatments: Array.from({ length: 60 }, (_, k) => `plot ${k}`) };
    const many = compareStrips(inputOf(single));
    expect(many.ok ? '' : many.error.text).toMatch(/60 different treatments.*the same name/);
  });

  it('where no pass is are refused with a sentence', () => {
    const points = trialPoints(ALTERNATING);
    const away = { ...points, pass: points.pass.map(() => -1) };
    const found = compareStrips(inputOf(ALTERNATING, { points: away }));
    expect(found.ok ? '' : found.error.text).toMatch(
      /No point of field "Home" lies in a strip of comparison "Trial"/,
    );
  });
});
