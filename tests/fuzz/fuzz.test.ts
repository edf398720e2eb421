/** A short run of the fuzzer, the same cases every time; `npm run fuzz` makes long ones. */
import { describe, expect, it } from 'vitest';
import { runCases } from './fuzz-run.ts';
import { TARGETS } from './targets.ts';

const SEED = 7;
const CASES = 120;
/** The machine is shared with other tests: only what is slow beyond doubt fails. */
const PATIENCE = 10;

describe.each(TARGETS.map((target) => [target.name, target] as const))('%s', (_, target) => {
  it('answers whatever bytes come', async () => {
    const cases = Math.ceil(CASES * (target.share ?? 1));
    const totals = await runCases(target, {
      seed: SEED,
      first: 0,
      cases,
      patience: PATIENCE,
      shrink: 'as_found',
    });
    const failures = totals.failures.map(({ index, what }) => `case ${index}: ${what}`);
    expect(failures).toEqual([]);
    expect(totals.cases).toBe(cases);
  });
});
