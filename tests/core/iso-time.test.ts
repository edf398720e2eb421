import fc from 'fast-check';
import { expect, it } from 'vitest';
import { isoFromUnix } from '../../core/iso-time.ts';

it('says what the platform says, from 1900 to 2100, to the millisecond', () => {
  fc.assert(
    fc.property(fc.integer({ min: -2_208_988_800_000, max: 4_102_444_800_000 }), (ms) => {
      expect(isoFromUnix(ms / 1000)).toBe(new Date(ms).toISOString());
    }),
    { seed: 1 },
  );
});

it('rounds to the millisecond, over midnight too', () => {
  expect(isoFromUnix(86_399.9996)).toBe('1970-01-02T00:00:00.000Z');
});

it('is null for a time that does not exist', () => {
  expect(isoFromUnix(Number.NaN)).toBeNull();
});
