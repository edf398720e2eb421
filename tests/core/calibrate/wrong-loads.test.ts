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
      const random = new Random(count, `loads ${scatter} ${sensor.zero_kg_s}`);
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

  test('a sensor whose gain bends by 2 % over the range of flow, which neither model knows', () => {
    const found = tally([5, 6, 8, 10, 12], { k: 0.9, zero_kg_s: 0, bend: 0.02 }, 60);
    expect(found.caught).toBeGreaterThanOrEqual(0.95);
    expect(found.accused).toBeLessThanOrEqual(0.01);
    expect(found.cleanAccused).toBeLessThanOrEqual(0.01);
  });

  test('three loads: nine in ten caught, hardly an honest one accused', () => {
    const found = tally([3], { k: 1.1, zero_kg_s: 0 }, 300);
    expect(found.caught).toBeGreaterThanOrEqual(0.9);
    expect(found.accused).toBeLessThanOrEqual(0.01);
    expect(found.cleanAccused).toBeLessThanOrEqual(0.01);
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
