import { describe, expect, it } from 'vitest';
import type { BeamEdges } from '../../../core/read/logger-run.ts';
import { type ChatterSolution, estimateChatter } from '../../../core/signal/chatter.ts';
import { darkFractions, periodsOf, trailingEdges } from '../../../core/signal/paddle-columns.ts';
import { PaddleReducer } from '../../../core/signal/paddles.ts';
import { runningMedian } from '../../../core/signal/running-median.ts';

const QUIET = { bridge_lit_s: 0.0005, drop_dark_s: 0.0005 };

/** Paddles of a run whose edges come in one block. */
function paddlesIn(edges: BeamEdges, chatter: ChatterSolution) {
  const reducer = new PaddleReducer(chatter, 'as_logged');
  reducer.take(edges.tick_us, edges.dark, edges.dark.length);
  return reducer.finish();
}

/** Edges of paddles at given trailing times (ms) with given dark times (ms). */
function edgesOf(paddles: readonly { end_ms: number; dark_ms: number }[]): BeamEdges {
  const rows = paddles.flatMap(({ end_ms, dark_ms }) => [
    [(end_ms - dark_ms) * 1000, 1],
    [end_ms * 1000, 0],
  ]);
  return { tick_us: Float64Array.from(rows, (r) => r[0]), dark: Uint8Array.from(rows, (r) => r[1]) };
}

const regular = (count: number, dark_ms = 24, period_ms = 60) =>
  Array.from({ length: count }, (_, i) => ({ end_ms: (i + 1) * period_ms, dark_ms }));

describe('paddles', () => {
  it('times a paddle from trailing edge to trailing edge', () => {
    const { paddles, counts } = paddlesIn(edgesOf(regular(40)), QUIET);
    expect(counts).toMatchObject({ paddles: 40, missed: 0, extra: 0, hidden: 0, spells: 1 });
    expect(periodsOf(paddles)[0]).toBeNaN();
    expect(paddles.step_us[5]).toBe(60_000);
    expect(periodsOf(paddles)[5]).toBeCloseTo(0.06, 9);
    expect(darkFractions(paddles)[5]).toBeCloseTo(0.4, 9);
  });

  it('counts a missed paddle and takes it to look like the one seen', () => {
    const row = regular(40).filter((_, i) => i !== 20);
    const { paddles, counts } = paddlesIn(edgesOf(row), QUIET);
    expect(counts.missed).toBe(1);
    expect(paddles.slots[20]).toBe(2);
    expect(darkFractions(paddles)[20]).toBeCloseTo(0.4, 9);
  });

  it('takes the whole dark time when heaps touch', () => {
    const row = regular(40);
    row[21] = { end_ms: row[21].end_ms, dark_ms: 24 + 60 };
    row.splice(20, 1);
    const { paddles } = paddlesIn(edgesOf(row), QUIET);
    expect(paddles.slots[20]).toBe(2);
    expect(darkFractions(paddles)[20]).toBeCloseTo(84 / 120, 9);
  });

  it('begins a new spell after a stop and measures no period across it', () => {
    const row = [...regular(20), ...regular(20).map((p) => ({ ...p, end_ms: p.end_ms + 5000 }))];
    const { paddles, counts } = paddlesIn(edgesOf(row), QUIET);
    expect(counts.spells).toBe(2);
    expect(periodsOf(paddles)[20]).toBeNaN();
    expect([...paddles.spell_row]).toEqual([0, 20]);
  });

  it('hides the dark time where an edge is lost, and only there', () => {
    const edges = edgesOf(regular(40));
    const keep = [...edges.dark.keys()].filter((i) => i !== 21);
    const damaged = {
      tick_us: Float64Array.from(keep, (i) => edges.tick_us[i]),
      dark: Uint8Array.from(keep, (i) => edges.dark[i]),
    };
    const { paddles, counts } = paddlesIn(damaged, QUIET);
    expect(counts.hidden).toBe(1);
    expect(counts.missed).toBe(1);
    expect(paddles.hidden_row).toHaveLength(1);
    expect([...darkFractions(paddles)].filter(Number.isNaN)).toHaveLength(2);
  });

  it('bridges chatter and drops blips with thresholds found in the data', () => {
    const rows: [number, number][] = [];
    for (let i = 0; i < 400; i++) {
      const start_us = i * 60000;
      rows.push([start_us, 1]);
      if (i % 4 === 0) rows.push([start_us + 5000, 0], [start_us + 5200 + (i % 7) * 40, 1]);
      rows.push([start_us + 24000, 0]);
      if (i % 5 === 0) rows.push([start_us + 40000, 1], [start_us + 40150 + (i % 3) * 60, 0]);
    }
    const edges = { tick_us: Float64Array.from(rows, (r) => r[0]), dark: Uint8Array.from(rows, (r) => r[1]) };
    const chatter = estimateChatter(edges);
    expect(chatter.bridge_lit_s).toBeGreaterThan(0.00045);
    expect(chatter.bridge_lit_s).toBeLessThan(0.02);
    expect(chatter.drop_dark_s).toBeGreaterThan(0.0003);
    expect(chatter.drop_dark_s).toBeLessThan(0.012);
    const { paddles, counts } = paddlesIn(edges, chatter);
    expect(counts).toMatchObject({ lit_gaps_bridged: 100, dark_blips_dropped: 80, paddles: 400, extra: 0 });
    expect(darkFractions(paddles)[200]).toBeCloseTo(0.4, 9);
  });

  it('finds no chatter where there is none', () => {
    const chatter = estimateChatter(edgesOf(regular(200)));
    const { counts } = paddlesIn(edgesOf(regular(200)), chatter);
    expect(counts).toMatchObject({ lit_gaps_bridged: 0, dark_blips_dropped: 0, paddles: 200 });
  });

  it('joins a paddle seen as two', () => {
    const row = regular(40);
    row.splice(20, 1, { end_ms: row[20].end_ms - 15, dark_ms: 9 }, { end_ms: row[20].end_ms, dark_ms: 10 });
    const { paddles, counts } = paddlesIn(edgesOf(row), QUIET);
    expect(counts.extra).toBe(1);
    expect(paddles.step_us).toHaveLength(40);
    expect(darkFractions(paddles)[20]).toBeCloseTo(19 / 60, 9);
  });

  it('gives nothing for nothing', () => {
    const { paddles, counts } = paddlesIn({ tick_us: new Float64Array(), dark: new Uint8Array() }, QUIET);
    expect(trailingEdges(paddles)).toHaveLength(0);
    expect(counts.spells).toBe(0);
  });
});

describe('running median', () => {
  it('equals the plain median of every window', () => {
    const column = Float64Array.from({ length: 60 }, (_, i) => ((i * 37) % 23) + (i % 5 === 0 ? 100 : 0));
    const running = runningMedian(column, 7);
    for (let i = 3; i < 57; i++) {
      const window = [...column.subarray(i - 3, i + 4)].sort((a, b) => a - b);
      expect(running[i]).toBe(window[3]);
    }
  });
});
