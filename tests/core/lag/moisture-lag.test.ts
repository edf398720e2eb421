import { describe, expect, it } from 'vitest';
import type { CutRecord } from '../../../core/lag/cut-record.ts';
import { estimateMoistureLag } from '../../../core/lag/moisture-lag.ts';
import { Random } from '../../synthetic/random.ts';

const PASSES = 20;
const PASS_S = 120;
const TURN_S = 25;
const SPEED_M_S = 2;

/** Up and down passes 9 m apart; a row a second. */
function driven(): { record: CutRecord; pass: Int32Array } {
  const n = PASSES * PASS_S;
  const column = (of: (pass: number, second: number) => number) =>
    Float64Array.from({ length: n }, (_, i) => of(Math.floor(i / PASS_S), i % PASS_S));
  const t0_s = column((pass, second) => pass * (PASS_S + TURN_S) + second);
  return {
    record: {
      t0_s,
      t1_s: t0_s.map((t) => t + 1),
      fresh_area_m2: column(() => 18),
      east_m: column((pass) => 9 * pass),
      north_m: column((pass, second) => SPEED_M_S * (pass % 2 === 0 ? second + 0.5 : PASS_S - second - 0.5)),
      heading_rad: column((pass) => (pass % 2 === 0 ? 0 : Math.PI)),
      width_share: column(() => 1),
      header_width_m: 9.144,
    },
    pass: Int32Array.from({ length: n }, (_, i) => Math.floor(i / PASS_S)),
  };
}

/** A reading every 2 s of the ground that was cut `lag_s` before. */
function readings(lag_s: number, of: (east_m: number, north_m: number) => number, noise_pct: number) {
  const { record } = driven();
  const random = new Random(3, 'moisture lag');
  const t_s = Float64Array.from({ length: (PASSES * (PASS_S + TURN_S)) / 2 }, (_, k) => 2 * k);
  const moisture_pct = t_s.map((t) => {
    const cut_s = Math.max(0, t - lag_s);
    const pass = Math.min(PASSES - 1, Math.floor(cut_s / (PASS_S + TURN_S)));
    const second = Math.min(PASS_S - 1, Math.floor(cut_s - pass * (PASS_S + TURN_S)));
    const row = pass * PASS_S + second;
    return of(record.east_m[row], record.north_m[row]) + noise_pct * random.normal();
  });
  return { t_s, moisture_pct };
}

const wave = (east_m: number, north_m: number) => 17 + Math.sin(north_m / 30) + 0.5 * Math.sin(east_m / 50);

describe('lag of the moisture', () => {
  const { record, pass } = driven();

  it.each([9, 22.5, 41])('of %f s is found', (lag_s) => {
    const found = estimateMoistureLag(record, pass, readings(lag_s, wave, 0.1));
    // readings lie half a second after the middle of the second that they show
    expect(Math.abs((found?.shift_s ?? 0) - lag_s)).toBeLessThan(0.8);
    expect(found?.shift_se_s).toBeLessThan(1.5);
    expect(found?.pairs).toBeGreaterThan(400);
  });

  it('is found though the sensor fails for a while', () => {
    const faulty = readings(22, wave, 0.1);
    faulty.moisture_pct.fill(31, 300, 330);
    expect(Math.abs((estimateMoistureLag(record, pass, faulty)?.shift_s ?? 0) - 22)).toBeLessThan(1.2);
  });

  it('is not told by an even field, by noise, or by few readings', () => {
    expect(
      estimateMoistureLag(
        record,
        pass,
        readings(20, () => 17, 0),
      ),
    ).toBeUndefined();
    expect(
      estimateMoistureLag(
        record,
        pass,
        readings(20, () => 17, 0.3),
      ),
    ).toBeUndefined();
    expect(
      estimateMoistureLag(record, pass, { t_s: new Float64Array(), moisture_pct: new Float64Array() }),
    ).toBeUndefined();
  });
});
