import { describe, expect, test } from 'vitest';
import { ratiosOfLoads } from '../../../core/calibrate/load.ts';
import { estimateWrongLoads } from '../../../core/calibrate/wrong-loads.ts';
import { Random } from '../../synthetic/random.ts';
import { honestLoads, madeLoad, reweighed, type SensorSpec } from './made-loads.ts';

const flags = (loads: Parameters<typeof ratiosOfLoads>[0]) => [...estimateWrongLoads(ratiosOfLoads(loads))];

/** Counts over made seasons: how many wrong tickets were caught, how many honest loads accused, with and without one. */
function tally(counts: readonly number[], sensor: Omit<SensorSpec, 'scatter'>, seasons: number) {
  const seen = { wrong: 0, caught: 0, honest: 0, accused: 0, clean: 0, cleanAccused: 0 };
  for (const count of counts)
    for (const scatter of [0.003, 0.006, 0.01]) {
      const random = new Random(count, `loads ${scatter} ${sensor.zero_kg_s} ${sensor.bend ?? 0}`);
      for (let season = 0; season < seasons; season++) {
        const loads = honestLoads(random, count, { ...sensor, scatter });
        seen.clean += count;
        seen.cleanAccused += flags(loads).filter((flag) => flag === 1).length;
        const bad = random.integer(count);
        const off = random.between(0.06, 0.15) * (random.uniform() < 0.5 ? -1 : 1);
        loads[bad] = reweighed(loads[bad], loads[bad].scale_kg * (1 + off));
        const found = flags(loads);
        seen.wrong += 1;
        seen.caught += found[bad];
        seen.honest += count - 1;
        seen.accused += found.filter((flag, i) => flag === 1 && i !== bad).length;
      }
    }
  return {
    caught: seen.caught / seen.wrong,
    accused: seen.accused / seen.honest,
    cleanAccused: seen.cleanAccused / seen.clean,
  };
}

describe('one wrong ticket by 6 to 15 % among loads that scatter by 0.3 to 1 %', () => {
  test.each([4, 5, 6, 7, 8, 9, 10, 11, 12])(
    '%d loads and a gain only: 95 in 100 caught, 1 in 100 honest accused at most',
    (n) => {
      const found = tally([n], { k: 0.9, zero_kg_s: 0 }, 250);
      expect(found.caught).toBeGreaterThanOrEqual(0.95);
      expect(found.accused).toBeLessThanOrEqual(0.01);
      expect(found.cleanAccused).toBeLessThanOrEqual(0.01);
    },
  );

  test.each([0.3, -0.3])('zero error of %d kg/s: it is not taken for a wrong ticket', (zero_kg_s) => {
    const found = tally([5, 6, 8, 10, 12], { k: 0.9, zero_kg_s }, 100);
    expect(found.caught).toBeGreaterThanOrEqual(0.95);
    expect(found.accused).toBeLessThanOrEqual(0.01);
    expect(found.cleanAccused).toBeLessThanOrEqual(0.01);
  });

  test.each([0.02, 0.04, -0.04, 0.08, -0.08])(
    'a gain that bends by %d of itself either way over the range of flow: it is not taken for a wrong ticket',
    (bend) => {
      const found = tally([6, 7, 8, 10, 12], { k: 0.9, zero_kg_s: 0, bend }, 60);
      expect(found.caught).toBeGreaterThanOrEqual(0.95);
      expect(found.accused).toBeLessThanOrEqual(0.01);
      expect(found.cleanAccused).toBeLessThanOrEqual(0.01);
    },
  );

  test.each([
    { zero_kg_s: 0.3, bend: 0.04 },
    { zero_kg_s: -0.3, bend: 0.04 },
  ])('a zero error and a bend at once, which no model has: $zero_kg_s kg/s, $bend', (sensor) => {
    const found = tally([6, 7, 8, 10, 12], { k: 0.9, ...sensor }, 60);
    expect(found.caught).toBeGreaterThanOrEqual(0.95);
    expect(found.accused).toBeLessThanOrEqual(0.01);
    expect(found.cleanAccused).toBeLessThanOrEqual(0.01);
  });

  test('few loads of a sensor whose zero is off or whose gain bends: rather silent than unjust', () => {
    for (const sensor of [
      { zero_kg_s: 0.3 },
      { zero_kg_s: -0.3 },
      { zero_kg_s: 0, bend: 0.04 },
      { zero_kg_s: 0, bend: -0.04 },
    ]) {
      const found = tally([4, 5], { k: 0.9, ...sensor }, 150);
      expect(found.caught).toBeGreaterThanOrEqual(0.85);
      expect(found.accused).toBeLessThanOrEqual(0.01);
      expect(found.cleanAccused).toBeLessThanOrEqual(0.01);
    }
    // With 8 % either way, four honest loads are left alone; beside a wrong one an honest one may be taken for it.
    for (const bend of [0.08, -0.08])
      expect(tally([4, 5], { k: 0.9, zero_kg_s: 0, bend }, 150).cleanAccused).toBeLessThanOrEqual(0.01);
  });

  test('three loads: six in seven caught, hardly an honest one accused', () => {
    // A bend could explain the rest: of three loads at three flows nobody can say.
    const found = tally([3], { k: 1.1, zero_kg_s: 0 }, 300);
    expect(found.caught).toBeGreaterThanOrEqual(0.85);
    expect(found.accused).toBeLessThanOrEqual(0.01);
    expect(found.cleanAccused).toBeLessThanOrEqual(0.01);
  });
});

describe('the last load of a field, cut at half the flow of the others', () => {
  const FLOWS_KG_S = [14.6, 12, 15.5, 16.6, 12.2, 18.1, 16.7, 12.8, 8.2];
  /** Loads of 10 t at those flows, seen by a heap that changes its shape, with half a per cent of scatter. */
  const bentLoads = (random: Random, bend: number) =>
    FLOWS_KG_S.map((flow_kg_s, i) => {
      const seen = 1 + (bend * (flow_kg_s - 12)) / 8 + 0.005 * random.normal();
      return madeLoad(`T${i + 1}`, 10_000, 10_000 / seen, 10_000 / flow_kg_s);
    });

  test.each([0.04, -0.04, 0.08])(
    'is not accused when the gain bends by %d, and a wrong one beside it is',
    (bend) => {
      const random = new Random(7, `last ${bend}`);
      let caught = 0;
      let accused = 0;
      for (let season = 0; season < 150; season++) {
        const loads = bentLoads(random, bend);
        loads[3] = reweighed(loads[3], random.uniform() < 0.5 ? 11_200 : 8900);
        const found = flags(loads);
        caught += found[3];
        accused += found.filter((flag, i) => flag === 1 && i !== 3).length;
      }
      expect(caught / 150).toBeGreaterThanOrEqual(0.99);
      expect(accused / 1200).toBeLessThanOrEqual(0.005);
    },
  );

  test('is accused when no model can account for it', () => {
    const loads = bentLoads(new Random(8, 'last'), 0);
    loads[8] = reweighed(loads[8], 16_000);
    expect(flags(loads)).toEqual([0, 0, 0, 0, 0, 0, 0, 0, 1]);
  });

  test('without fill in the log, the zero error alone is weighed against it', () => {
    const loads = bentLoads(new Random(9, 'last'), 0.04).map((load) => ({ ...load, x2_kg: Number.NaN }));
    expect(flags(loads)).toEqual(FLOWS_KG_S.map(() => 0));
  });
});

describe('what the search must stand up to', () => {
  const beam = [4100, 7300, 5200, 9800, 6100, 8700];
  const running = [700, 640, 420, 610, 560, 900];
  const honest = beam.map((x, i) => madeLoad(`T${i + 1}`, Math.round(1.05 * x), x, running[i]));

  test('two wrong tickets that agree with each other do not hide', () => {
    const loads = honest.map((load, i) => (i === 1 || i === 4 ? reweighed(load, load.scale_kg * 1.1) : load));
    expect(flags(loads)).toEqual([0, 1, 0, 0, 1, 0]);
  });

  test('a wrong unit on one ticket leaves the others alone', () => {
    for (const factor of [2.2046, 1 / 2.2046, 10, 0.1])
      expect(
        flags(honest.map((load, i) => (i === 3 ? reweighed(load, load.scale_kg * factor) : load))),
      ).toEqual([0, 0, 0, 1, 0, 0]);
  });

  test('at most a third: of six, half wrong alike, nothing is said with certainty beyond two', () => {
    const loads = honest.map((load, i) => (i % 2 === 0 ? reweighed(load, load.scale_kg * 1.3) : load));
    expect(flags(loads).filter((flag) => flag === 1).length).toBeLessThanOrEqual(2);
  });

  test('of two that disagree nobody can say which', () => {
    expect(flags([honest[0], reweighed(honest[1], honest[1].scale_kg * 1.2)])).toEqual([0, 0]);
    expect(flags([honest[0]])).toEqual([0]);
    expect(flags([])).toEqual([]);
  });

  test('an error that does not matter is not worth an accusation, however certain', () => {
    const loads = honest.map((load, i) => (i === 2 ? reweighed(load, load.scale_kg * 1.02) : load));
    expect(flags(loads)).toEqual([0, 0, 0, 0, 0, 0]);
    const strict = estimateWrongLoads(ratiosOfLoads(loads, 0.0005), { least_error_pct: 1 });
    expect([...strict]).toEqual([0, 0, 1, 0, 0, 0]);
  });

  test('the order of the loads and the unit of mass change nothing', () => {
    const loads = honest.map((load, i) => (i === 2 ? reweighed(load, load.scale_kg * 0.9) : load));
    expect(flags([...loads].reverse())).toEqual([0, 0, 0, 1, 0, 0]);
    const thousandfold = loads.map((load) => ({
      ...load,
      scale_kg: load.scale_kg * 1000,
      x_kg: load.x_kg * 1000,
      scale_sigma_kg: 10_000,
      running_s: load.running_s * 1000,
    }));
    expect(flags(thousandfold)).toEqual([0, 0, 1, 0, 0, 0]);
  });

  test('loads by the hundred take no time', () => {
    const loads = honestLoads(new Random(1, 'many'), 150, { k: 1, zero_kg_s: 0, scatter: 0.006 });
    loads[70] = reweighed(loads[70], loads[70].scale_kg * 1.2);
    const found = flags(loads);
    expect(found[70]).toBe(1);
    expect(found.filter((flag) => flag === 1).length).toBeLessThanOrEqual(2);
  });

  test('a load without grain is the caller’s mistake', () => {
    const ratios = ratiosOfLoads([madeLoad('T1', 1000, 0, 100)]);
    expect(() => estimateWrongLoads(ratios)).toThrow(/Infinity/);
  });
});
