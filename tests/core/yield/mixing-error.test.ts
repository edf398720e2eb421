import { describe, expect, it } from 'vitest';
import { mixingError } from '../../../core/yield/mixing-error.ts';
import { Random } from '../../synthetic/random.ts';

const ROWS = 4000;
const t_s = Float64Array.from({ length: ROWS }, (_, i) => i);
const pass = new Int32Array(ROWS);
const MIXING_S = 3;

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
      const stated = mixingError({ t_s, pass, yield_kg_m2: shown }, MIXING_S);
      expect(stated / true_error).toBeGreaterThan(0.9);
      // its 1.4 is meant for yields that change faster; for such as these 1.13 would do
      expect(stated / true_error).toBeLessThan(1.6);
    }
  });

  it('is none without mixing, on even ground, across passes, or from too few rows', () => {
    const yield_kg_m2 = t_s.map((t) => Math.sin(t));
    expect(mixingError({ t_s, pass, yield_kg_m2 }, 0)).toBe(0);
    expect(mixingError({ t_s, pass, yield_kg_m2: new Float64Array(ROWS).fill(1) }, MIXING_S)).toBe(0);
    expect(mixingError({ t_s, pass: pass.map((_, i) => i), yield_kg_m2 }, MIXING_S)).toBe(0);
    expect(mixingError({ t_s, pass: pass.map(() => -1), yield_kg_m2 }, MIXING_S)).toBe(0);
    const few = { t_s: t_s.slice(0, 20), pass: pass.slice(0, 20), yield_kg_m2: yield_kg_m2.slice(0, 20) };
    expect(mixingError(few, MIXING_S)).toBe(0);
  });
});
