import { describe, expect, it } from 'vitest';
import { courseChange_rad, fixesOf, linesOf, NOISE_FREE, SMALL_LOG, smallScene } from './crude-reading.ts';
import { plain } from './scenes.ts';
import { simulate } from './simulate.ts';
import { total } from './total.ts';

describe('the receiver', () => {
  it('sits ahead and to the right of the header as far as it was told', () => {
    const centred = { ahead_of_cut_m: 0, right_of_centre_m: 0 };
    const aside = { ahead_of_cut_m: 2, right_of_centre_m: 0.7 };
    const [middle, moved] = [centred, aside].map((antenna) =>
      fixesOf(simulate(smallScene().machine(NOISE_FREE).everyMachine({ antenna })), SMALL_LOG),
    );
    let straight = 0;
    for (let i = 1; i + 1 < middle.length; i++) {
      const { course_rad, speed_m_s } = middle[i];
      // On passes, where course and heading agree.
      if (!(speed_m_s > 1 && courseChange_rad(middle, i) < 0.004)) continue;
      const east = moved[i].east_m - middle[i].east_m;
      const north = moved[i].north_m - middle[i].north_m;
      expect(east * Math.sin(course_rad) + north * Math.cos(course_rad)).toBeCloseTo(2, 1);
      expect(east * Math.cos(course_rad) - north * Math.sin(course_rad)).toBeCloseTo(0.7, 1);
      straight++;
    }
    expect(straight).toBeGreaterThan(200);
  });

  it('reports the speed and course at which its own positions move', () => {
    const fixes = fixesOf(simulate(smallScene().machine(NOISE_FREE)), SMALL_LOG);
    let moving = 0;
    for (let i = 1; i + 1 < fixes.length; i++) {
      const { speed_m_s, course_rad } = fixes[i];
      const steady =
        Math.abs(fixes[i + 1].speed_m_s - speed_m_s) < 0.1 &&
        Math.abs(fixes[i - 1].speed_m_s - speed_m_s) < 0.1 &&
        courseChange_rad(fixes, i) < 0.05;
      if (!steady || speed_m_s < 1) continue;
      const east = (fixes[i + 1].east_m - fixes[i - 1].east_m) / 2;
      const north = (fixes[i + 1].north_m - fixes[i - 1].north_m) / 2;
      expect(Math.abs(Math.hypot(east, north) - speed_m_s)).toBeLessThan(0.06);
      expect(Math.abs(Math.sin(Math.atan2(east, north) - course_rad))).toBeLessThan(0.02);
      moving++;
    }
    expect(moving).toBeGreaterThan(300);
  });
});

describe('log and truth together', () => {
  it('let the crudest reading find the pattern of the field: delay by L + τ, full width, block means', () => {
    const season = simulate(plain(2).everyMachine(NOISE_FREE));
    const [field] = season.truth.fields;
    const path = 'logs/c1-plain.log';
    const startTick = 12_345_678;
    const grain = new Map<number, number>();
    let previous = 0;
    let onset = 0;
    for (const [counted, payload] of linesOf(season, path)) {
      // The log is longer than one turn of the counter and shorter than two.
      const tick = counted < previous - 1e9 ? counted + 2 ** 32 : counted;
      if (payload === '1') onset = tick;
      if (payload !== '0') continue;
      const heap_m = 0.2032 * ((tick - onset) / (tick - previous)) - 0.014;
      const cutAt_s = Math.round((tick - startTick) / 1e6 - 12 - 2.8);
      grain.set(cutAt_s, (grain.get(cutAt_s) ?? 0) + heap_m * 0.92 * 0.26 * 0.15 * 721);
      previous = tick;
    }
    const spacing_m = 9.144 - 0.25;
    const blocks = new Map<string, number[]>();
    fixesOf(season, path).forEach((fix, second) => {
      const kg = grain.get(second) ?? 0;
      // Passes inside the headland, well under way: the antenna is 3.4 m behind the cutting line.
      if (fix.speed_m_s < 1.5 || Math.abs(Math.sin(fix.course_rad)) > 0.02) return;
      const north = fix.north_m + 3.4 * Math.cos(fix.course_rad);
      if (Math.abs(north) > 110 || Math.abs(fix.east_m) > 110) return;
      const key = `${Math.floor(fix.east_m / 10)}/${Math.floor(north / 10)}`;
      const yields = blocks.get(key) ?? [];
      yields.push(kg / (fix.speed_m_s * spacing_m));
      blocks.set(key, yields);
    });
    const { col, row, cut_area_m2, mass_std_kg } = field.blocks_10m;
    const pairs: [number, number][] = [];
    col.forEach((c, i) => {
      const yields = blocks.get(`${c}/${row[i]}`);
      if (yields === undefined || yields.length < 3) return;
      pairs.push([total(yields) / yields.length, mass_std_kg[i] / cut_area_m2[i]]);
    });
    const mean = pairs.reduce((m, [x, y]) => [m[0] + x / pairs.length, m[1] + y / pairs.length], [0, 0]);
    const moment = (f: (x: number, y: number) => number): number =>
      total(pairs.map(([x, y]) => f(x - mean[0], y - mean[1])));
    const r = moment((x, y) => x * y) / Math.sqrt(moment((x) => x * x) * moment((_, y) => y * y));
    expect(pairs.length).toBeGreaterThan(300);
    expect(r).toBeGreaterThan(0.96);
    const wetOverStd = (100 - field.standard_moisture_pct) / (100 - field.moisture_pct);
    expect(Math.abs(mean[0] / mean[1] / wetOverStd - 1)).toBeLessThan(0.01);
  });
});
