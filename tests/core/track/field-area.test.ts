import { describe, expect, it } from 'vitest';
import { cutWidths } from '../../../core/track/cut-width.ts';
import { localFrame } from '../../../core/track/local-frame.ts';
import type { Swaths } from '../../../core/track/track.ts';
import { swathsFromFixes } from './layout-fixes.ts';
import { layoutSwaths } from './layout-swaths.ts';
import { LAYOUTS, rasterArea } from './layouts.ts';

const sum = (column: Float64Array) => column.reduce((total, x) => total + x, 0);
const areaOf = (swaths: Swaths) => sum(cutWidths(swaths).fresh_area_m2);

describe('cutWidths, whole fields against a raster', () => {
  it.each(LAYOUTS)('$name: area to 0.02 % without noise, 0.05 % with RTK', (layout) => {
    const truth_m2 = rasterArea(layout);
    expect(Math.abs(areaOf(layoutSwaths(layout, 2)) / truth_m2 - 1)).toBeLessThan(2e-4);
    for (const seed of [1, 2]) {
      const noisy = layoutSwaths(layout, 2, { seed, white_m: 0.02, slow_m: 0.01 });
      expect(Math.abs(areaOf(noisy) / truth_m2 - 1)).toBeLessThan(5e-4);
    }
  });

  it.each([0.25, 1, 3, 6])('rows of %f m: the same area', (row_m) => {
    for (const layout of LAYOUTS.filter(({ name }) => /contour|point rows/.test(name))) {
      expect(
        Math.abs(areaOf(layoutSwaths(layout, row_m)) / areaOf(layoutSwaths(layout, 2)) - 1),
      ).toBeLessThan(3e-4);
    }
  });

  it.each(LAYOUTS)('$name: noise of 0.1 m and a drift of 0.2 m has no side', (layout) => {
    // what remains is the error of the outermost edges, which is as often plus as minus
    const truth_m2 = rasterArea(layout);
    const seeds = Array.from({ length: 12 }, (_, k) => 40 + k);
    const errors = seeds.map(
      (seed) =>
        areaOf(layoutSwaths(layout, 2, { seed, white_m: 0.1, slow_m: 0.2, tau_s: 120 })) / truth_m2 - 1,
    );
    const mean = errors.reduce((a, b) => a + b, 0) / errors.length;
    expect(Math.abs(mean)).toBeLessThan(1.5e-3);
  });

  it('noise does not narrow a full header: every width to 1 % of the header, its mean to 0.4 %', () => {
    const layout = LAYOUTS.find(({ name }) => name === 'straight passes without overlap')!;
    for (const seed of [1, 2, 3]) {
      const { cut_width_m } = cutWidths(layoutSwaths(layout, 2, { seed, white_m: 0.1, slow_m: 0.2 }));
      const errors = cut_width_m.map((width) => width / layout.width_m - 1);
      expect(Math.abs(sum(errors) / errors.length)).toBeLessThan(4e-3);
      expect(Math.sqrt(sum(errors.map((x) => x * x)) / errors.length)).toBeLessThan(0.01);
    }
  });

  it('points: widths with noise agree with those without to 0.3 % (RTK) and 1.5 % (differential) of the header', () => {
    for (const layout of LAYOUTS.filter(({ name }) => !/laps|across/.test(name))) {
      const truth = cutWidths(layoutSwaths(layout, 2)).cut_width_m;
      for (const [white_m, slow_m, limit] of [
        [0.02, 0.01, 0.003],
        [0.1, 0.2, 0.015],
      ]) {
        const wide = [...truth.keys()].filter((i) => truth[i] > layout.width_m / 2);
        const squares = [3, 4, 5, 6].flatMap((seed) => {
          const noisy = cutWidths(layoutSwaths(layout, 2, { seed, white_m, slow_m })).cut_width_m;
          return wide.map((i) => ((noisy[i] - truth[i]) / layout.width_m) ** 2);
        });
        expect(Math.sqrt(squares.reduce((a, b) => a + b, 0) / squares.length)).toBeLessThan(limit);
      }
    }
  });

  it('turned and shifted fields have the same area and widths', () => {
    const layout = LAYOUTS.find(({ name }) => /point rows/.test(name))!;
    const swaths = layoutSwaths(layout, 2, { seed: 9, white_m: 0.05, slow_m: 0.1 });
    const before = cutWidths(swaths);
    const [sin, cos] = [Math.sin(1.1), Math.cos(1.1)];
    const turned = (east: Float64Array, north: Float64Array): [Float64Array, Float64Array] => [
      east.map((e, i) => 700 + e * cos + north[i] * sin),
      north.map((n, i) => -300 + n * cos - east[i] * sin),
    ];
    const [east0_m, north0_m] = turned(swaths.east0_m, swaths.north0_m);
    const [east1_m, north1_m] = turned(swaths.east1_m, swaths.north1_m);
    const after = cutWidths({
      ...swaths,
      east0_m,
      north0_m,
      east1_m,
      north1_m,
      heading0_rad: swaths.heading0_rad.map((h) => h + 1.1),
      heading1_rad: swaths.heading1_rad.map((h) => h + 1.1),
    });
    expect(sum(after.fresh_area_m2)).toBeCloseTo(sum(before.fresh_area_m2), 3);
    for (let i = 0; i < before.cut_width_m.length; i += 50)
      expect(after.cut_width_m[i]).toBeCloseTo(before.cut_width_m[i], 5);
  });
});

describe('cutWidths on long logs', () => {
  it('200,000 rows take about half a second', () => {
    const rows = 300;
    const passes = Math.ceil(200_000 / rows);
    const n = rows * passes;
    const column = (of: (pass: number, row: number) => number) =>
      Float64Array.from({ length: n }, (_, k) => of(Math.floor(k / rows), k % rows));
    const northAt = (pass: number, row: number) => (pass % 2 === 0 ? 2 * row : 600 - 2 * row);
    const heading = column((pass) => (pass % 2 === 0 ? 0 : Math.PI));
    const swaths: Swaths = {
      t0_s: column((pass, row) => 320 * pass + row),
      t1_s: column((pass, row) => 320 * pass + row + 1),
      machine: new Int32Array(n),
      pass: Int32Array.from({ length: n }, (_, k) => Math.floor(k / rows)),
      east0_m: column((pass) => 8.8 * pass),
      north0_m: column((pass, row) => northAt(pass, row)),
      heading0_rad: heading,
      east1_m: column((pass) => 8.8 * pass),
      north1_m: column((pass, row) => northAt(pass, row + 1)),
      heading1_rad: heading,
      header_width_m: column(() => 9),
      position_se_m: column(() => 0.05),
    };
    const start = process.cpuUsage();
    const area_m2 = areaOf(swaths);
    // several times what it takes, and time of this process alone: the machine that runs the tests is shared
    expect(process.cpuUsage(start).user).toBeLessThan(3e6);
    expect(area_m2 / (600 * (8.8 * (passes - 1) + 9))).toBeCloseTo(1, 6);
  });
});

describe('a boundary', () => {
  it('that the first passes overhang: the field is what lies inside, with noise and without', () => {
    const layout = LAYOUTS.find(({ name }) => name === 'straight passes, much overlap')!;
    const rotated = (e: number, n: number) => [
      e * Math.cos(0.3) - n * Math.sin(0.3),
      e * Math.sin(0.3) + n * Math.cos(0.3),
    ];
    // 0.2 m inside the outermost edges and beyond neither end of the passes
    const [w, e] = [-4.5 + 0.2, 19 * 8.4 + 4.5 - 0.2];
    const boundary = [
      Float64Array.from([rotated(w, 10), rotated(e, 10), rotated(e, 150), rotated(w, 150)].flat()),
    ];
    const truth_m2 = (e - w) * 140;
    const exact = cutWidths(layoutSwaths(layout, 2), { boundary });
    expect(Math.abs(sum(exact.fresh_area_m2) / truth_m2 - 1)).toBeLessThan(3e-4);
    for (const seed of [1, 2, 3]) {
      const noisy = cutWidths(layoutSwaths(layout, 2, { seed, white_m: 0.1, slow_m: 0.2 }), { boundary });
      expect(Math.abs(sum(noisy.fresh_area_m2) / truth_m2 - 1)).toBeLessThan(1.5e-3);
    }
  });
});

describe('from fixes to the field’s area', () => {
  const frame = localFrame(-93.5, 42);
  // a circle of 22 m is not driven as this drive pretends
  const layouts = LAYOUTS.filter(({ name }) => name !== 'an island');

  it.each(layouts)('$name: to 0.15 % with RTK and with white noise of 0.1 and 0.3 m', (layout) => {
    const truth_m2 = rasterArea(layout);
    for (const [white_m, quality] of [
      [0.02, 4],
      [0.1, 2],
      [0.3, 2],
    ]) {
      const swaths = swathsFromFixes(layout, frame, { seed: 11, white_m, quality });
      expect(Math.abs(areaOf(swaths) / truth_m2 - 1)).toBeLessThan(1.5e-3);
    }
  });
});
