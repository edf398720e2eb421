/** What unsmearing gains where grain is much mixed. `npm run truth` prints more seasons. */
import { describe, expect, it } from 'vitest';
import { findUnsmear } from './unsmear-truth.ts';

describe('unsmearing of much mixed grain', () => {
  it.each([4, 101, 102])(
    'lowers the error of fine blocks by a fifth, or it is said not to help (seed %i)',
    (seed) => {
      const { plain_pct, unsmeared_pct, foreseen } = findUnsmear(seed);
      if (foreseen) expect(unsmeared_pct).toBeLessThan(0.8 * plain_pct);
      else expect(foreseen).toBe(false);
    },
  );
});
