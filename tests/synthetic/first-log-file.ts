/** Events of a first session → the bytes of a tick log, with what goes wrong on the way. */
import type { SessionEvent } from './first-session.ts';

export interface CounterState {
  readonly start_us: number;
  readonly drift_ppm: number;
  /** Counts a second: 1e6, or what a wrong logger has. */
  readonly per_s: number;
  /** True seconds at which the logger starts anew, and how long it was off. */
  readonly restarts: readonly { readonly at_s: number; readonly off_s: number }[];
}

/** Lines in time order, stamped with the counter; what falls into a restart is lost. */
export function tickLines(events: readonly SessionEvent[], counter: CounterState): string[] {
  const ordered = [...events].sort((a, b) => a.t_s - b.t_s);
  const lines: string[] = [];
  for (const { t_s, payload } of ordered) {
    const before = counter.restarts.filter(({ at_s }) => t_s >= at_s);
    const last = before[before.length - 1];
    if (last !== undefined && t_s < last.at_s + last.off_s) continue;
    const from_s = last === undefined ? 0 : last.at_s + last.off_s;
    const zero = last === undefined ? counter.start_us : 1.8e6;
    const count =
      zero * (counter.per_s / 1e6) + (t_s - from_s) * counter.per_s * (1 - counter.drift_ppm * 1e-6);
    lines.push(`${Math.floor(count) % 2 ** 32},${payload}`);
  }
  return lines;
}

export function logBytes(lines: readonly string[]): Uint8Array {
  return new TextEncoder().encode(`${lines.join('\n')}\n`);
}
