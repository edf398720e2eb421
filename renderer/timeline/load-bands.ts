/** Bands of loads: which lane each lies in, and where it goes when it is pulled. */
import type { TimeSpan } from '../map/types.ts';
import type { LoadBand } from './types.ts';

/** What of a band is held. */
export type Grip = 'start' | 'end' | 'whole';

/** A lane for each band, so that none lies on another: first come, first lane that is free. */
export function bandLanes(loads: readonly LoadBand[]): number[] {
  const ends: number[] = [];
  const lanes = new Array<number>(loads.length).fill(0);
  const order = [...loads.keys()].sort((a, b) => loads[a].start_s - loads[b].start_s);
  const machines = [...new Set(loads.map(({ machine }) => machine))];
  for (const at of order) {
    const { start_s, end_s, machine } = loads[at];
    // Each machine keeps to its own lanes, where machines are told apart.
    const first = machines.indexOf(machine);
    let lane = first;
    while ((ends[lane] ?? -Infinity) > start_s) lane += machines.length;
    lanes[at] = lane;
    ends[lane] = end_s;
  }
  return lanes;
}

/** Where a band goes when a grip is pulled from one place to another: an end never passes the other. */
export function dragged(
  band: TimeSpan,
  grip: Grip,
  timeAt: (x: number) => number,
  from_x: number,
  x: number,
  xOf: (t_s: number) => number,
): TimeSpan {
  const moved = (t_s: number) => timeAt(xOf(t_s) + x - from_x);
  if (grip === 'start') return { start_s: Math.min(moved(band.start_s), band.end_s), end_s: band.end_s };
  if (grip === 'end') return { start_s: band.start_s, end_s: Math.max(moved(band.end_s), band.start_s) };
  const start_s = moved(band.start_s);
  return { start_s, end_s: start_s + band.end_s - band.start_s };
}
