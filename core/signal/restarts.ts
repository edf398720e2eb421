/**
 * Grain that passed while the logger started anew or opened the next file: the elevator ran on, but nobody looked. A silence
 * of a few seconds between two runs is taken as so many paddles like those on either side.
 */
import type { TimedPaddles } from './flow.ts';

/** Silences up to this long are bridged; a longer one may have been a stop. */
export const RESTART_MAX_S = 15;
/** A silence longer than this is a pause, a night or the way to the next field. */
const PAUSE_S = 1800;

export interface BridgedPaddles {
  readonly paddles: TimedPaddles;
  /** Seconds bridged, all together. */
  readonly bridged_s: number;
  /** Silences too long to be bridged and too short to be a pause of the work. */
  readonly left_open: number;
}

/** `first` holds the row of each run's first paddle (0 for the first run). Hidden dark fractions are filled in with the flow. */
export function bridgeRestarts(paddles: TimedPaddles, first: readonly number[]): BridgedPaddles {
  const period_s = paddles.period_s.slice();
  const slots = paddles.slots.slice();
  let bridged_s = 0;
  let left_open = 0;
  for (const row of first) {
    if (row === 0 || row + 1 >= period_s.length) continue;
    const silence_s = paddles.t_s[row] - paddles.t_s[row - 1];
    const running_s = (period_s[row - 1] / slots[row - 1] + period_s[row + 1] / slots[row + 1]) / 2;
    if (!(silence_s <= RESTART_MAX_S)) {
      if (silence_s < PAUSE_S) left_open++;
    } else if (!Number.isNaN(running_s)) {
      period_s[row] = silence_s;
      slots[row] = Math.max(1, Math.round(silence_s / running_s));
      bridged_s += silence_s;
    }
  }
  return { paddles: { ...paddles, period_s, slots }, bridged_s, left_open };
}
