import { describe, expect, it } from 'vitest';
import { mapFrame } from '../../../../core/export/report/map-frame.ts';
import { swathStrips } from '../../../../core/export/report/swath-strips.ts';
import type { FieldPoints } from '../../../../core/result.ts';
import { makeResult } from '../season-fixture.ts';

/** Area within the outlines of a path, in picture points squared. */
function areaOf(path: string): number {
  let total = 0;
  for (const outline of path.split('M').filter((piece) => piece !== '')) {
    const numbers = outline.replace('z', '').split(' ').map(Number);
    let twice = 0;
    for (let at = 0; at < numbers.length; at += 2) {
      const next = (at + 2) % numbers.length;
      twice += numbers[at] * numbers[next + 1] - numbers[next] * numbers[at + 1];
    }
    total += Math.abs(twice) / 2;
  }
  return total;
}

const points = makeResult().points[0];
const frame = mapFrame(points)!;

const widthOf = (row: number) => points.cut_width_m[row];

/** Path data of the two classes, below and above 1.16 kg/m². */
function drawn(columns: Partial<FieldPoints> = {}): string[] {
  const changed = { ...points, ...columns };
  const strips = swathStrips(changed, frame, {
    classOfMean: (kg_m2) => (Number.isNaN(kg_m2) ? -1 : kg_m2 < 1.16 ? 0 : 1),
    isDrawn: (row) => changed.screened_by[row] === 0,
    widthOf,
  });
  return [0, 1].map((index) =>
    strips.flatMap((strip) => (strip.index === index ? [strip.path] : [])).join(''),
  );
}

describe('swath strips', () => {
  it('cover exactly the ground of the kept points', () => {
    let ground_m2 = 0;
    for (const [row, rule] of points.screened_by.entries())
      if (rule === 0) ground_m2 += points.fresh_area_m2[row];
    const area_m2 = drawn().reduce((sum, path) => sum + areaOf(path), 0) / frame.points_per_m ** 2;
    expect(area_m2 / ground_m2).toBeCloseTo(1, 2);
  });

  it('join the points of a pass and class to one outline of four corners', () => {
    const [low, high] = drawn({ yield_kg_m2: new Float64Array(points.t_s.length).fill(1) });
    const cutPasses = new Set([...points.pass].filter((_, row) => points.screened_by[row] === 0)).size;
    const breaks = points.screened_by.filter(
      (rule, row) =>
        rule !== 0 &&
        points.screened_by[row - 1] === 0 &&
        points.pass[row] >= 0 &&
        points.screened_by[row + 1] === 0,
    ).length;
    expect(high).toBe('');
    expect(low.split('z').length - 1).toBe(cutPasses + breaks);
  });

  it('leave out points without position or yield', () => {
    const nowhere = new Float64Array(points.t_s.length).fill(Number.NaN);
    expect(drawn({ east_m: nowhere })).toEqual(['', '']);
    expect(drawn({ yield_kg_m2: nowhere })).toEqual(['', '']);
  });

  it('bend with the heading', () => {
    const quarter = Math.PI / 2;
    const arc = 40;
    const rows = Array.from({ length: arc }, (_, row) => (row / (arc - 1)) * quarter);
    const column = (from: (angle: number) => number) => Float64Array.from(rows, from);
    const radius_m = 60;
    const bent: FieldPoints = {
      ...points,
      t_s: column((angle) => angle * 30),
      machine: new Int32Array(arc),
      pass: new Int32Array(arc),
      east_m: column((angle) => radius_m * (1 - Math.cos(angle))),
      north_m: column((angle) => radius_m * Math.sin(angle)),
      heading_rad: column((angle) => angle),
      distance_m: column(() => (radius_m * quarter) / (arc - 1)),
      duration_s: column(() => (30 * quarter) / (arc - 1)),
      cut_width_m: column(() => 9),
      yield_kg_m2: column(() => 1),
      screened_by: new Uint8Array(arc),
    };
    const ground = mapFrame(bent)!;
    const strips = swathStrips(bent, ground, { classOfMean: () => 0, isDrawn: () => true, widthOf: () => 9 });
    expect(strips).toHaveLength(1);
    const [{ path }] = strips;
    const ring_m2 = radius_m * quarter * (arc / (arc - 1)) * 9;
    expect(areaOf(path) / ground.points_per_m ** 2 / ring_m2).toBeCloseTo(1, 2);
  });
});
