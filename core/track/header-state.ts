/** When the header was down, from the entries of its switch. */
import type { Notice } from '../errors.ts';

/** Entries of a header switch, ascending `t_s`: `up[i]` is 1 when the header was reported up from then on. */
export interface HeaderSwitch {
  readonly t_s: Float64Array;
  readonly up: Uint8Array;
}

/** For each interval between rows: the share of it with the header down, and its longest stretch down. */
export interface HeaderDown {
  readonly fraction: Float64Array;
  /** From here (0..1 of the interval) … */
  readonly from: Float64Array;
  /** … to here; equal to `from` when never down. */
  readonly to: Float64Array;
}

/** Switches bounce: states that last less than this did not happen. Ours. */
const BOUNCE_S = 0.4;

/** Whether the switch was ever seen in both states; one that was not says nothing. */
export function headerMoves(header: HeaderSwitch): boolean {
  return header.up.includes(0) && header.up.includes(1);
}

/** A word on a switch that was reported, but never in another state. */
export function stuckHeaderNotices(header: HeaderSwitch, source: string): Notice[] {
  if (header.up.length === 0 || headerMoves(header)) return [];
  const [state, other] = header.up[0] === 1 ? ['up', 'down'] : ['down', 'up'];
  const text = `The header switch in ${source} is always ${state}, never ${other}, so it was not believed: passes were found from the machine's motion and the grain. Check the switch and its cable.`;
  return [{ code: 'header_never_moves', severity: 'look', source, count: header.up.length, text }];
}

/**
 * Header down within the intervals between the rows `t_s`, by the exact times of the entries. Before the first entry
 * the header is taken to have been in the other state when the log holds only changes, else in the same.
 */
export function headerDown(header: HeaderSwitch, t_s: Float64Array): HeaderDown {
  const n = Math.max(0, t_s.length - 1);
  const fraction = new Float64Array(n);
  const from = new Float64Array(n);
  const to = new Float64Array(n);
  const { at_s, down } = spells(header);
  let spell = 0;
  for (let i = 0; i < n; i++) {
    const t0 = t_s[i];
    const dt_s = t_s[i + 1] - t0;
    while (spell + 1 < at_s.length && at_s[spell + 1] <= t0) spell++;
    for (let s = spell; s < at_s.length && at_s[s] < t_s[i + 1]; s++) {
      if (!down[s]) continue;
      const begin = Math.max(0, (at_s[s] - t0) / dt_s);
      const end = s + 1 < at_s.length ? Math.min(1, (at_s[s + 1] - t0) / dt_s) : 1;
      if (end <= begin) continue;
      fraction[i] += end - begin;
      if (end - begin > to[i] - from[i]) {
        from[i] = begin;
        to[i] = end;
      }
    }
  }
  return { fraction, from, to };
}

/** Spells of alternating state, the first from minus infinity; bounces are merged into what they interrupt. */
function spells(header: HeaderSwitch): { at_s: number[]; down: boolean[] } {
  const at_s: number[] = [];
  const down: boolean[] = [];
  let repeats = 0;
  for (let i = 0; i < header.t_s.length; i++) {
    const isDown = header.up[i] === 0;
    if (down.length > 0 && down.at(-1) === isDown) {
      repeats++;
      continue;
    }
    at_s.push(header.t_s[i]);
    down.push(isDown);
  }
  if (down.length === 0) return { at_s, down };
  if (repeats > down.length) at_s[0] = Number.NEGATIVE_INFINITY;
  else {
    at_s.unshift(Number.NEGATIVE_INFINITY);
    down.unshift(!down[0]);
  }
  return withoutBounces(at_s, down);
}

function withoutBounces(at_s: number[], down: boolean[]): { at_s: number[]; down: boolean[] } {
  const kept = { at_s: [at_s[0]], down: [down[0]] };
  for (let s = 1; s < at_s.length; s++) {
    const short = s + 1 < at_s.length && at_s[s + 1] - at_s[s] < BOUNCE_S;
    if (short || down[s] === kept.down.at(-1)) continue;
    kept.at_s.push(at_s[s]);
    kept.down.push(down[s]);
  }
  return kept;
}
