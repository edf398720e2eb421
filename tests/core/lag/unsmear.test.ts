import { describe, expect, it } from 'vitest';
import { unsmear } from '../../../core/lag/unsmear.ts';

const STEP_S = 0.5;
const MIXING_S = 3.5;

/** Two passes with a turn between; yield with waves along the way. */
const area = Float64Array.from({ length: 800 }, (_, k) =>
  (k >= 40 && k < 340) || (k >= 370 && k < 700) ? 9 : 0,
);
const truth = area.map((a, k) => a * (1 + 0.25 * Math.sin(k / 9)));

/** What the beam shows: the first-order response, with a few per cent of noise by a fixed pattern. */
function smeared(noise: number): Float64Array {
  const decay = Math.exp(-STEP_S / MIXING_S);
  let held = 0;
  return truth.map((x, k) => {
    held = decay * held + (1 - decay) * x;
    return held * (1 + noise * Math.sin(k * 12.9898) * 1.4);
  });
}

const total = (column: Float64Array) => column.reduce((a, b) => a + b, 0);
function errorOf(column: Float64Array): number {
  let squares = 0;
  let count = 0;
  for (let k = 0; k < column.length; k++) {
    if (area[k] === 0) continue;
    squares += ((column[k] - truth[k]) / 9) ** 2;
    count++;
  }
  return Math.sqrt(squares / count);
}

describe('unsmearing', () => {
  it('conserves mass and makes none negative, at any number of iterations', () => {
    const flow = smeared(0.03);
    for (const iterations of [1, 2, 5, 20]) {
      const { amount } = unsmear(flow, area, STEP_S, MIXING_S, iterations);
      expect(Math.abs(total(amount) / total(flow) - 1)).toBeLessThan(1e-12);
      expect(Math.min(...amount)).toBeGreaterThanOrEqual(0);
    }
  });

  it('puts grain back under the header: no ramp at the start of a pass', () => {
    const { amount } = unsmear(smeared(0), area, STEP_S, MIXING_S, 1);
    expect(amount[39]).toBe(0);
    expect(amount[40] / truth[40]).toBeGreaterThan(0.9);
    expect(smeared(0)[40] / truth[40]).toBeLessThan(0.2);
  });

  it('comes nearer to the truth than the best plain shift, and says what noise it adds', () => {
    const flow = smeared(0.01);
    const shifts = [5, 6, 7, 8, 9].map((shift) => errorOf(flow.map((_, k) => flow[k + shift] ?? 0)));
    const sharp = unsmear(flow, area, STEP_S, MIXING_S, 4);
    expect(errorOf(sharp.amount)).toBeLessThan(0.8 * Math.min(...shifts));
    const sharper = unsmear(flow, area, STEP_S, MIXING_S, 12);
    expect(sharper.noise_gain).toBeGreaterThan(sharp.noise_gain);
  });

  it('leaves in place what no ground can have fed', () => {
    const flow = smeared(0);
    flow[10] = 2;
    flow[20] = -0.5;
    const { amount } = unsmear(flow, area, STEP_S, MIXING_S, 3);
    expect(amount[10]).toBe(2);
    expect(amount[20]).toBe(-0.5);
  });

  it('refuses a mixing that is none', () => {
    expect(() => unsmear(area, area, STEP_S, 0, 1)).toThrow(RangeError);
  });
});
