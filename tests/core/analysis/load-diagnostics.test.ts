/** What loads allow beyond their fit, on loads made to measure. */
import { describe, expect, test } from 'vitest';
import type { HarvestedGrain } from '../../../core/analysis/harvested-grain.ts';
import { flowsByLoad, outsideCovered } from '../../../core/analysis/harvested-grain.ts';
import { calibrationDiagnostics, residualSlopes } from '../../../core/analysis/load-diagnostics.ts';
import { estimateLoadFit } from '../../../core/calibrate/load-fit.ts';
import { MONITOR_KG, SCALE_KG } from '../../reference/nine-loads.ts';
import { Random } from '../../synthetic/random.ts';
import { honestLoads, madeLoad, reweighed } from '../calibrate/made-loads.ts';

/** Points of so many loads, each at one flow, and some grain in no load. */
function grainAt(flows: readonly number[], unweighed: readonly number[] = []): HarvestedGrain {
  const all = [...flows, ...unweighed];
  const flow_kg_s = Float64Array.from(
    all.flatMap((flow) => Array.from({ length: 40 }, (_, i) => flow * (0.95 + i / 390))),
  );
  const load = Int32Array.from(all.flatMap((_, i) => Array(40).fill(i < flows.length ? i : -1)));
  return {
    x_kg: 1e5,
    running_s: 1e4,
    x2_kg: 0.2 * 1e5,
    xm_kg: 0,
    by_load_kg: new Map(),
    flow_kg_s,
    mass_kg: flow_kg_s.slice(),
    load,
  };
}

const loadsAt = (flows: readonly number[], more: (i: number) => number = () => 1) =>
  flows.map((flow, i) => ({
    ...madeLoad(`T${i + 1}`, 9000 * more(i), 10_000, 9000 / flow),
    span: i,
  }));
const diagnosed = (loads: ReturnType<typeof loadsAt>, grain: HarvestedGrain) =>
  calibrationDiagnostics(estimateLoadFit(loads, { model: 'gain' }).solution, grain);

describe('flows', () => {
  test('covered are those of the middle halves of the loads’ points; the others lie outside', () => {
    const grain = grainAt([8, 10, 12], [20]);
    const found = diagnosed(loadsAt([8, 10, 12]), grain);
    const [least, greatest] = found.covered_flow_kg_s ?? [0, 0];
    expect(least).toBeCloseTo(8 * (0.95 + 0.025), 1);
    expect(greatest).toBeCloseTo(12 * (0.95 + 0.075), 1);
    // all of the fourth spell, and the outer quarters of the first and third
    expect(found.outside_points_pct).toBeCloseTo(100 * ((40 + 10 + 10) / 160), 0);
    expect(found.outside_grain_pct).toBeGreaterThan(found.outside_points_pct ?? 0);
    expect(flowsByLoad(grain).size).toBe(3);
    expect(outsideCovered(grain, [Number.NaN, Number.NaN]).points_pct).toBeNaN();
  });

  test('the next load is asked for where the loads are not', () => {
    const few = diagnosed(loadsAt([10, 10.5, 11, 11.5]), grainAt([10, 10.5, 11, 11.5], [5, 6, 5]));
    expect(few.next_flow_kg_s).toBeLessThan(6.5);
    const high = diagnosed(loadsAt([5, 5.5, 6, 6.5]), grainAt([5, 5.5, 6, 6.5], [12, 12, 11]));
    expect(high.next_flow_kg_s).toBeGreaterThan(10.5);
  });
});

describe('how many are enough', () => {
  test('the error of a total falls with each load more, about as 1/√n', () => {
    const flows = [8, 10, 12, 9];
    const { enough_loads } = diagnosed(
      loadsAt(flows, (i) => 1 + 0.004 * (i % 2)),
      grainAt(flows),
    );
    expect(enough_loads.map(({ loads }) => loads)).toEqual([4, 5, 6, 7, 8, 9]);
    for (let i = 1; i < enough_loads.length; i++)
      expect(enough_loads[i].total_se_pct).toBeLessThan(enough_loads[i - 1].total_se_pct);
    expect(enough_loads[5].total_se_pct / enough_loads[0].total_se_pct).toBeGreaterThan(
      Math.sqrt(4 / 9) - 0.05,
    );
  });

  test('no load is asked for at no flow, where much of the field holds no grain', () => {
    const bare = diagnosed(loadsAt([10, 10.5, 11, 11.5]), grainAt([10, 10.5, 11, 11.5], [0, 0, 0]));
    expect(bare).toMatchObject({ next_flow_kg_s: null, enough_loads: [] });
  });

  test('without loads there is nothing to say', () => {
    const found = calibrationDiagnostics(estimateLoadFit([]).solution, grainAt([8]));
    expect(found).toMatchObject({
      recommended_model: null,
      models: [],
      confidence_95: {},
      prediction_95_pct: null,
      covered_flow_kg_s: null,
      enough_loads: [],
      next_flow_kg_s: null,
      dimensionless: false,
    });
  });
});

describe('errors of the loads', () => {
  test('drift over days, and slopes against flow, are found with their errors', () => {
    const flows = [8, 10, 12, 9, 11, 13, 8.5];
    const drifting = loadsAt(flows, (i) => 1 + 0.01 * i + 0.002 * ((i * 3) % 2)).map((load, i) => ({
      ...load,
      start_s: i * 86_400,
      end_s: i * 86_400 + 900,
    }));
    const { rows } = estimateLoadFit(drifting, { model: 'gain' }).solution;
    const slopes = residualSlopes(rows.filter((row) => row.used));
    const time = slopes.find(({ against }) => against === 'time_d');
    expect(time?.slope_pct).toBeCloseTo(1, 0);
    expect(time?.p).toBeLessThan(0.001);
    expect(slopes.map(({ against }) => against)).toEqual(['time_d', 'flow_kg_s']);
  });

  test('that only scatter show a slope about as often as chance has it', () => {
    const random = new Random(5, 'slopes');
    let seen = 0;
    for (let season = 0; season < 300; season++) {
      const { rows } = estimateLoadFit(honestLoads(random, 8, { k: 0.9, zero_kg_s: 0, scatter: 0.006 }), {
        model: 'gain',
      }).solution;
      const flow = residualSlopes(rows.filter((row) => row.used)).find(
        ({ against }) => against === 'flow_kg_s',
      );
      if ((flow?.p ?? 1) < 0.05) seen++;
    }
    expect(seen / 300).toBeLessThan(0.1);
    expect(seen / 300).toBeGreaterThan(0.01);
  });
});

describe('cross-checks', () => {
  // R 4.2.2 on the nine invented loads: median of ratios 1.028130671506, Theil–Sen slope 1.017595120143
  test('median ratio and Theil–Sen slope are R’s', () => {
    const nine = SCALE_KG.map((scale_kg, i) => ({
      ...madeLoad(`L${i + 1}`, scale_kg, MONITOR_KG[i], scale_kg / 10),
      span: i,
    }));
    const use = nine.map(({ ticket }) => ({ ticket, use: true }));
    const { solution } = estimateLoadFit(nine, { model: 'gain', loads: use });
    const found = calibrationDiagnostics(solution, grainAt(nine.map(() => 10)));
    expect(found.median_ratio).toBeCloseTo(1.028130671506, 11);
    expect(found.theil_sen_k).toBeCloseTo(1.017595120143, 11);
    expect(Math.abs((found.huber_k ?? 0) - 1.028)).toBeLessThan(0.005);
  });

  test('intervals of a coefficient and of a new load hold what they say', () => {
    const random = new Random(9, 'intervals');
    let inside = 0;
    let next = 0;
    const seasons = 300;
    for (let season = 0; season < seasons; season++) {
      const made = honestLoads(random, 7, { k: 0.9, zero_kg_s: 0, scatter: 0.006 });
      const loads = made.slice(0, 6).map((load, span) => ({ ...load, span }));
      const use = loads.map(({ ticket }) => ({ ticket, use: true }));
      const { solution } = estimateLoadFit(loads, { model: 'gain', loads: use });
      const found = calibrationDiagnostics(solution, grainAt([10]));
      const [low, high] = found.confidence_95.k;
      if (low < 0.9 && 0.9 < high) inside++;
      const [, , , , , , last] = made;
      const off_pct = 100 * Math.abs((solution.k * last.x_kg) / last.scale_kg - 1);
      if (off_pct < (found.prediction_95_pct ?? 0)) next++;
    }
    expect(inside / seasons).toBeGreaterThan(0.92);
    expect(next / seasons).toBeGreaterThan(0.92);
    expect(next / seasons).toBeLessThan(0.995);
  });
});

describe('a gain carried over', () => {
  const prior = { factor: 0.9, se_pct: 2, from: 'season 2025' };

  test('stands alone where there is no load, with its own error', () => {
    const { solution, notices } = estimateLoadFit([], {}, { prior });
    expect(solution).toMatchObject({ model: 'carried_over', k: 0.9 });
    expect(Math.sqrt(solution.covariance[0])).toBeCloseTo(0.018, 12);
    expect(notices).toEqual([]);
  });

  test('gives way to loads as they grow in number, and accuses none', () => {
    const k = (count: number) =>
      estimateLoadFit(
        loadsAt([8, 10, 12, 9, 11, 13].slice(0, count), () => 0.95 / 0.9),
        {},
        { prior },
      ).solution.k;
    const single = estimateLoadFit(
      loadsAt([10], () => 0.95 / 0.9),
      {},
      { prior },
    ).solution;
    expect(single.k).toBeGreaterThan(0.93);
    expect(single.k).toBeLessThan(0.95);
    expect(Math.sqrt(single.covariance[0])).toBeLessThan(0.018);
    expect(k(6)).toBeGreaterThan(k(2));
    const { rows } = estimateLoadFit(
      loadsAt([8, 10, 12], () => 1.3),
      {},
      { prior },
    ).solution;
    expect(rows.every((row) => !row.flagged)).toBe(true);
  });
});

describe('a moisture term', () => {
  const moist = (count: number, slope: number) => {
    const random = new Random(count, 'moisture');
    return Array.from({ length: count }, (_, i) => {
      const moisture_pct = 14 + (8 * i) / (count - 1);
      const load = madeLoad(`T${i}`, 0, 10_000, 1000 + 10 * (i % 3));
      const scale_kg = 10_000 * (0.9 + (slope * (moisture_pct - 15)) / 100) * (1 + 0.002 * random.normal());
      return { ...reweighed(load, scale_kg), moisture_pct };
    });
  };

  test('is recommended where six loads or more show it, and found', () => {
    const { solution } = estimateLoadFit(moist(8, 0.6));
    expect(solution.model).toBe('gain_moisture');
    expect(solution.moisture).toBeCloseTo(0.6, 0);
    expect(solution.k).toBeCloseTo(0.9, 2);
    expect(estimateLoadFit(moist(5, 0.6)).solution.model).not.toBe('gain_moisture');
    expect(estimateLoadFit(moist(8, 0)).solution.model).toBe('gain');
  });

  test('asked for without moisture on the tickets says why it is not fitted', () => {
    const { notices } = estimateLoadFit(loadsAt([8, 10, 12, 9]), { model: 'gain_moisture' });
    expect(notices.find(({ code }) => code === 'model_not_fitted')?.text).toBe(
      'The moisture term asked for was not fitted: a load has no moisture on its tickets. A gain alone is used.',
    );
  });
});
