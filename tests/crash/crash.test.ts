import { expect, it } from 'vitest';
import { crashRounds } from './crash-rounds.ts';

/** A short run; `npm run crash` kills some hundred times. */
const KILLS = 12;

it(`a process that is killed ${KILLS} times while it imports, edits and builds loses nothing that it had saved`, async () => {
  const tally = await crashRounds(KILLS, 20_261_003);
  expect(Object.values(tally.killed).reduce((sum, count) => sum + count)).toBe(KILLS);
  expect(tally.saved).toBeGreaterThan(KILLS);
  expect(tally.locksTakenOver).toBeGreaterThan(KILLS / 2);
}, 180_000);
