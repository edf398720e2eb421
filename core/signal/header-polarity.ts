/**
 * Which way round a header switch is wired. Logged states are only believed as far as the beam agrees: if paddles are
 * clearly fuller while the header is said to be up (looked at a nominal lag later), the switch is wired the other way round.
 */
import type { TimedPaddles } from './flow.ts';
import type { HeaderRecord } from './machine-record.ts';

/** Lag at which the beam is looked at: rough, because states last much longer. */
const DELAY_S = 12;
/** States that follow each other faster than this are left out. */
const SETTLED_S = 8;
/** Paddles must be fuller by this dark fraction to contradict the switch. */
const CLEARLY_FULLER = 0.04;
const MIN_PADDLES = 200;
/** So many tell the two means; every so many-th where there are more. */
const ENOUGH_PADDLES = 500_000;

/** True when the beam contradicts the switch. False when both states cannot be compared. */
export function headerIsReversed(header: HeaderRecord, paddles: TimedPaddles): boolean {
  const sum = [0, 0];
  const count = [0, 0];
  let state = -1;
  let settled = -1;
  const stride = Math.ceil(paddles.t_s.length / ENOUGH_PADDLES);
  for (let i = 0; i < paddles.t_s.length; i += stride) {
    const dark_fraction = paddles.dark_fraction[i];
    state = advance(header.t_s, state, paddles.t_s[i] - DELAY_S);
    settled = advance(header.t_s, settled, paddles.t_s[i] - DELAY_S - SETTLED_S);
    if (state < 0 || settled < 0 || Number.isNaN(dark_fraction) || header.up[state] !== header.up[settled])
      continue;
    sum[header.up[state]] += dark_fraction;
    count[header.up[state]]++;
  }
  if (Math.min(...count) < MIN_PADDLES) return false;
  return sum[1] / count[1] > sum[0] / count[0] + CLEARLY_FULLER;
}

/** The last entry at or before `at_s`, from one that was before it on; −1 when there is none. */
function advance(t_s: Float64Array, entry: number, at_s: number): number {
  let last = entry;
  while (last + 1 < t_s.length && t_s[last + 1] <= at_s) last++;
  return last;
}
