/** Fill-weighted volume: what a gain that bends with the height of heaps is in proportion to. Heaps are made, not logged. */
import { describe, expect, test } from 'vitest';
import type { EmptyLevelSolution } from '../../../core/signal/empty-level.ts';
import { flowFromPaddles } from '../../../core/signal/flow.ts';
import { amountBetween, riseBetween } from '../../../core/signal/grain-passage.ts';
import { Random } from '../../synthetic/random.ts';

const PADDLE = { pitch_mm: 200, width_mm: 250, depth_mm: 160, thickness_mm: 10 };
const EMPTY = 0.07;
const level: EmptyLevelSolution = {
  t_s: Float64Array.of(0),
  dark_fraction: Float64Array.of(EMPTY),
  standard_error: Float64Array.of(0),
  method: 'entered',
  geometry: EMPTY,
  signature: undefined,
};
const untilted = { t_s: new Float64Array(), pitch_rad: new Float64Array() };
/** Volume of a paddle whose heap fills the whole pitch, m³. */
const FULL_M3 = 0.25 * 0.16 * 0.2;

function passageOf(fills: readonly number[], slots = 1, starts: readonly number[] = [0]) {
  const n = fills.length;
  const paddles = {
    t_s: Float64Array.from({ length: n }, (_, i) => 0.1 * slots * i),
    period_s: Float64Array.from({ length: n }, (_, i) => (starts.includes(i) ? Number.NaN : 0.1 * slots)),
    dark_fraction: Float64Array.from(fills, (fill) => EMPTY + fill),
    slots: new Float64Array(n).fill(slots),
  };
  return flowFromPaddles(paddles, level, PADDLE, undefined, untilted).passage;
}
const last = (column: Float64Array | undefined) => column?.at(-1) ?? Number.NaN;

describe('fill-weighted volume', () => {
  test('of an even flow is the volume times its fill', () => {
    const passage = passageOf(Array(101).fill(0.3));
    expect(last(passage.cumulative)).toBeCloseTo(100 * FULL_M3 * 0.3, 12);
    expect(last(passage.fill_weighted)).toBeCloseTo(100 * FULL_M3 * 0.3 ** 2, 12);
  });

  test('is the sum of squares of a flow that changes slowly', () => {
    const fills = Array.from({ length: 3001 }, (_, i) => 0.25 + 0.15 * Math.sin(i / 150));
    const squares = fills.slice(1).reduce((sum, fill) => sum + fill ** 2, 0);
    expect(last(passageOf(fills).fill_weighted) / (FULL_M3 * squares)).toBeCloseTo(1, 3);
  });

  test('is not raised by the noise of single heaps and edges, as the square of each would be', () => {
    const random = new Random(5, 'heaps');
    const edges = Array.from({ length: 20_002 }, () => 0.02 * random.normal());
    const fills = Array.from({ length: 20_001 }, (_, i) => {
      const heap = 0.3 * (1 + 0.2 * random.normal());
      return (EMPTY + heap) / (1 + edges[i + 1] - edges[i]) - EMPTY;
    });
    const mean = fills.slice(1).reduce((sum, fill) => sum + fill, 0) / 20_000;
    const squares = fills.slice(1).reduce((sum, fill) => sum + fill ** 2, 0) / 20_000;
    expect(squares / mean ** 2).toBeGreaterThan(1.04);
    expect(last(passageOf(fills).fill_weighted) / (20_000 * FULL_M3 * mean ** 2)).toBeCloseTo(1, 2);
  });

  test('does not reach over a stop of the elevator', () => {
    const fills = [...Array(5).fill(0.4), ...Array(5).fill(0.1)];
    const passage = passageOf(fills, 1, [0, 5]);
    expect(last(passage.fill_weighted)).toBeCloseTo(4 * FULL_M3 * (0.4 ** 2 + 0.1 ** 2), 12);
  });

  test('of tallies weights each row with its own mean', () => {
    const fills = [0, 0.1, 0.4, 0.4, 0.1];
    const squares = fills.slice(1).reduce((sum, fill) => sum + fill ** 2, 0);
    expect(last(passageOf(fills, 10).fill_weighted)).toBeCloseTo(10 * FULL_M3 * squares, 12);
  });
});

test('what passed between two moments is a difference, and nothing outside the record', () => {
  const passage = passageOf(Array(11).fill(0.5));
  expect(amountBetween(passage, 0.25, 0.75)).toBeCloseTo(5 * FULL_M3 * 0.5, 12);
  expect(amountBetween(passage, -3, 9)).toBeCloseTo(10 * FULL_M3 * 0.5, 12);
  expect(amountBetween(passage, 2, 3)).toBe(0);
  expect(riseBetween(new Float64Array(), new Float64Array(), 0, 1)).toBe(0);
});

describe('hidden paddles', () => {
  test('without a neighbour to ask carry no grain, not less than none', () => {
    const paddles = {
      t_s: Float64Array.from({ length: 20 }, (_, i) => 0.1 * i),
      period_s: Float64Array.from({ length: 20 }, (_, i) => (i === 0 ? Number.NaN : 0.1)),
      dark_fraction: new Float64Array(20).fill(Number.NaN),
      slots: new Float64Array(20).fill(1),
    };
    const { passage, filled } = flowFromPaddles(paddles, level, PADDLE, undefined, untilted);
    expect(filled).toBe(19);
    expect(last(passage.cumulative)).toBe(0);
  });
});
