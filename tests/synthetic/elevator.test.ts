import { describe, expect, it } from 'vitest';
import { edgesOf, linesOf, NOISE_FREE, SMALL_LOG, smallScene } from './crude-reading.ts';
import { heapHeight_mm } from './elevator.ts';
import { DEFAULT_MACHINE } from './scene-defaults.ts';
import type { MachineSpec } from './scene-spec.ts';
import { simulate } from './simulate.ts';

describe('the beam', () => {
  it('shows the empty level of geometry, (10 + 4)/203.2, before the first grain', () => {
    const season = simulate(smallScene().machine(NOISE_FREE));
    const edges = edgesOf(season, SMALL_LOG);
    let paddles = 0;
    for (let i = 0; edges[i + 2][0] < edges[0][0] + 55e6; i += 2) {
      const period = edges[i + 2][0] - edges[i][0];
      const dark = edges[i + 2][0] - edges[i + 1][0];
      // Ticks are whole microseconds: 2 in a period of 99,122.
      expect(Math.abs(dark / period - 14 / 203.2)).toBeLessThan(2.1e-5);
      paddles++;
    }
    expect(paddles).toBeGreaterThan(500);
  });

  it('gives back the mass that passed from a noise-free log, by V = s·A·h', () => {
    const season = simulate(smallScene().machine(NOISE_FREE));
    const edges = edgesOf(season, SMALL_LOG);
    let heaps_m = 0;
    for (let i = 0; i + 2 < edges.length; i += 2) {
      const period = edges[i + 2][0] - edges[i][0];
      heaps_m += 0.2032 * ((edges[i + 2][0] - edges[i + 1][0]) / period) - 0.014;
    }
    const kg = heaps_m * 0.92 * 0.26 * 0.15 * 721;
    expect(Math.abs(kg / season.truth.balance.passed_kg - 1)).toBeLessThan(1e-4);
  });

  it('sees the heap δ·tan θ higher where the nose is up and the beam is δ behind the middle', () => {
    const hilly = smallScene().machine(NOISE_FREE).everyField({ relief_m: 9, relief_range_m: 700 });
    const heaps = (from_back_mm: number): [number, number][] => {
      const season = simulate(hilly.everyMachine({ beam: { from_back_mm }, logger: { tilt: true } }));
      const found: [number, number][] = [];
      let tangent = 0;
      let previous = 0;
      let onset = 0;
      for (const [tick, payload] of linesOf(season, SMALL_LOG)) {
        if (payload[0] === 'T') tangent = Math.tan((Number(payload.split(',')[1]) * Math.PI) / 180);
        else if (payload === '1') onset = tick;
        else if (payload === '0') {
          found.push([tangent, 203.2 * ((tick - onset) / (tick - previous)) - 14]);
          previous = tick;
        }
      }
      return found;
    };
    const middle = heaps(75);
    const behind = heaps(35);
    expect(behind).toHaveLength(middle.length);
    let product = 0;
    let square = 0;
    let steepest = 0;
    for (let i = 1; i < middle.length; i++) {
      if (middle[i][1] < 12) continue;
      const [tangent, heap_mm] = middle[i];
      product += tangent * (behind[i][1] - heap_mm);
      square += tangent * tangent;
      steepest = Math.max(steepest, Math.abs(tangent));
    }
    expect(steepest).toBeGreaterThan(0.03);
    expect(product / square).toBeGreaterThan(39.5);
    expect(product / square).toBeLessThan(40.5);
  });

  it('has a heap height that inverts V = s0·(1 + b·(h/40 mm − 1))·A·h', () => {
    const machine: MachineSpec = {
      ...DEFAULT_MACHINE,
      elevator: { ...DEFAULT_MACHINE.elevator, shape_bend: 0.2 },
    };
    for (const height_mm of [0, 1, 20, 40, 90]) {
      const volume_m3 = (0.92 * (1 + 0.2 * (height_mm / 40 - 1)) * 260 * 150 * height_mm) / 1e9;
      expect(heapHeight_mm(volume_m3, machine)).toBeCloseTo(height_mm, 9);
    }
  });

  it('shows the bent paddle once a turn of the chain and nowhere else', () => {
    const season = simulate(
      smallScene()
        .machine(NOISE_FREE)
        .everyMachine({ paddle: { bent_index: 17, bent_mm: 5 } }),
    );
    const edges = edgesOf(season, SMALL_LOG);
    const bent: number[] = [];
    for (let i = 0; edges[i + 2][0] < edges[0][0] + 55e6; i += 2) {
      const dark = (edges[i + 2][0] - edges[i + 1][0]) / (edges[i + 2][0] - edges[i][0]);
      if (dark > 16 / 203.2) bent.push(i / 2);
    }
    expect(bent.length).toBeGreaterThan(7);
    for (let i = 1; i < bent.length; i++) expect(bent[i] - bent[i - 1]).toBe(61);
    expect(season.truth.machines[0].bent_index).toBe(17);
  });

  it('loses whole edges, not time, when the column is full', () => {
    const season = simulate(
      smallScene()
        .machine(NOISE_FREE)
        .everyMachine({ paddle: { width_mm: 90, depth_mm: 80 } }),
    );
    expect(season.truth.fields[0].machines[0].full_paddles).toBeGreaterThan(100);
    const edges = edgesOf(season, SMALL_LOG);
    for (let i = 1; i < edges.length; i++) {
      expect(edges[i][1]).not.toBe(edges[i - 1][1]);
      expect(edges[i][0]).toBeGreaterThanOrEqual(edges[i - 1][0]);
    }
  });
});
