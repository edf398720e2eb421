import { describe, expect, it } from 'vitest';
import { mixingError } from '../../../core/yield/mixing-error.ts';
import { Random } from '../../synthetic/random.ts';

const ROWS = 4000;
const t_s = Float64Array.from({ length: ROWS }, (_, i) => i);
const pass = new Int32Array(ROWS);
const MIXING_S = 3;
const none = new Float64Array(ROWS);

/** Ground whose yield wanders from second to second, and the same after a first-order response with its mean delay taken off. */
function wandering(random: Random): { readonly grown: Float64Array; readonly shown: Float64Array } {
  const grown = new Float64Array(ROWS);
  const shown = new Float64Array(ROWS);
  const kept = Math.exp(-1 / MIXING_S);
  let state = 1;
  grown[0] = 1;
  for (let i = 1; i < ROWS; i++) grown[i] = grown[i - 1] + 0.02 * random.normal();
  const response = grown.map((amount) => {
    state = amount + (state - amount) * kept;
    return state;
  });
  for (let i = 0; i < ROWS; i++) shown[i] = response[Math.min(ROWS - 1, i + MIXING_S)];
  return { grown, shown };
}

describe('error by mixing', () => {
  it('is about what mixing does to ground that wanders', () => {
    const random = new Random(2, 'mixing');
    for (let season = 0; season < 10; season++) {
      const { grown, shown } = wandering(random);
      const squares = shown.reduce((sum, amount, i) => sum + (amount - grown[i]) ** 2, 0);
      const true_error = Math.sqrt(squares / ROWS);
      const stated = mixingError({ t_s, pass, yield_kg_m2: shown, noise_se_kg_m2: none }, MIXING_S);
      // such ground asks for 1.68 (linear variogram, exponential response), 1.3 is stated
      expect(stated / true_error).toBeGreaterThan(0.68);
      expect(stated / true_error).toBeLessThan(0.95);
    }
  });

  it('is a little more than it does to ground that changes smoothly, and leaves noise aside', () => {
    const random = new Random(3, 'mixing');
    // a first-order response delays a slow wave by its mean and takes (2πτ/P)² / 2 of its height away
    const period_s = 60;
    const wave = t_s.map((t) => 1 + 0.2 * Math.sin((2 * Math.PI * t) / period_s));
    const lost = (0.2 / Math.SQRT2) * ((2 * Math.PI * MIXING_S) / period_s) ** 2 * 0.5;
    const smooth = mixingError({ t_s, pass, yield_kg_m2: wave, noise_se_kg_m2: none }, MIXING_S);
    expect(smooth / lost).toBeGreaterThan(1);
    // 1.3, and 1.48 more because the median of a wave is as large as its root mean square
    expect(smooth / lost).toBeLessThan(2.2);
    const noisy = wave.map((amount) => amount + 0.004 * random.normal());
    const noise_se_kg_m2 = none.map(() => 0.004);
    const stated = mixingError({ t_s, pass, yield_kg_m2: noisy, noise_se_kg_m2 }, MIXING_S);
    expect(stated / smooth).toBeGreaterThan(0.7);
    expect(stated / smooth).toBeLessThan(1.3);
    const onlyNoise = none.map(() => 1 + 0.003 * random.normal());
    expect(mixingError({ t_s, pass, yield_kg_m2: onlyNoise, noise_se_kg_m2 }, MIXING_S)).toBe(0);
  });

  it('is none without mixing, on even ground, across passes, or from too few rows', () => {
    const yield_kg_m2 = t_s.map((t) => Math.sin(t));
    expect(mixingError({ t_s, pass, yield_kg_m2, noise_se_kg_m2: none }, 0)).toBe(0);
    expect(
      mixingError({ t_s, pass, yield_kg_m2: new Float64Array(ROWS).fill(1), noise_se_kg_m2: none }, MIXING_S),
    ).toBe(0);
    expect(
      mixingError({ t_s, pass: pass.map((_, i) => i), yield_kg_m2, noise_se_kg_m2: none }, MIXING_S),
    ).toBe(0);
    expect(mixingError({ t_s, pass: pass.map(() => -1), yield_kg_m2, noise_se_kg_m2: none }, MIXING_S)).toBe(
      0,
    );
    const few = {
      t_s: t_s.slice(0, 20),
      pass: pass.slice(0, 20),
      yield_kg_m2: yield_kg_m2.slice(0, 20),
      noise_se_kg_m2: none,
    };
    expect(mixingError(few, MIXING_S)).toBe(0);
  });
});
