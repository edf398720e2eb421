/** What the beam saw of the grain that a ticket claims. */

import { interpolate, lowerBound, upperBound } from '../columns.ts';
import type { RunningTime } from '../signal/flow.ts';
import { amountBetween, riseBetween } from '../signal/grain-passage.ts';
import type { BeamRecord, CutField, TicketClaim } from './ticket-claims.ts';

/** Grain of one claim that one machine delivered. */
export interface ClaimedGrain {
  readonly machine: string;
  /** m³ or kg, by `basis`. */
  readonly amount: number;
  /** As `GrainPassage.fill_weighted`; NaN where the log does not show heaps. */
  readonly fill_weighted: number;
  readonly basis: 'volume' | 'mass';
  readonly running_s: number;
  readonly start_s: number;
  readonly end_s: number;
}

/** Grain that passed each of the machines in question, in the claim's window or spells; none where there was none. */
export function grainOfClaim(claim: TicketClaim, records: readonly BeamRecord[]): ClaimedGrain[] {
  return records
    .filter(({ machine }) => claim.machine === undefined || claim.machine === machine)
    .map((record) => grainWithin(record, boundsFor(claim, record.machine)))
    .filter(({ amount, running_s }) => amount !== 0 || running_s > 0);
}

/** Seconds that the elevator ran between two moments. */
function runningBetween({ t_s, cumulative_s }: RunningTime, from_s: number, to_s: number): number {
  return riseBetween(t_s, cumulative_s, from_s, to_s);
}

/** Seconds from `from_s` back to the last, and from `to_s` on to the next, running of the elevator; infinite where there is none. */
export function nearestRunning(
  { t_s, cumulative_s }: RunningTime,
  from_s: number,
  to_s: number,
): { readonly before_s: number; readonly after_s: number } {
  const never = Number.POSITIVE_INFINITY;
  if (t_s.length < 2) return { before_s: never, after_s: never };
  const last = lowerBound(cumulative_s, interpolate(t_s, cumulative_s, from_s));
  const next = upperBound(cumulative_s, interpolate(t_s, cumulative_s, to_s));
  return {
    before_s: last > 0 ? Math.max(0, from_s - t_s[last]) : never,
    after_s: next < t_s.length ? Math.max(0, t_s[next - 1] - to_s) : never,
  };
}

/**
 * The field in which most of a window's grain was cut; `undefined` where it was none of them.
 * Grain is compared as running time: machines may count volume or mass.
 */
export function fieldOfWindow(
  claim: TicketClaim,
  records: readonly BeamRecord[],
  fields: readonly CutField[],
): CutField | undefined {
  const { window } = claim;
  if (window === undefined) return claim.field;
  let most_s = 0;
  let best: CutField | undefined;
  for (const field of fields) {
    let share_s = 0;
    for (const { machine, running } of records) {
      if (claim.machine !== undefined && claim.machine !== machine) continue;
      const bounds_s = spellsOf(field, machine);
      for (let i = 0; i + 1 < bounds_s.length; i += 2) {
        const from_s = Math.max(window.start_s, bounds_s[i]);
        const to_s = Math.min(window.end_s, bounds_s[i + 1]);
        if (to_s > from_s) share_s += runningBetween(running, from_s, to_s);
      }
    }
    if (share_s > most_s) {
      most_s = share_s;
      best = field;
    }
  }
  return best;
}

function boundsFor({ window, field }: TicketClaim, machine: string): Float64Array {
  if (window !== undefined) return Float64Array.of(window.start_s, window.end_s);
  return field === undefined ? new Float64Array(0) : spellsOf(field, machine);
}

/** A machine's spells in a field; several records of it may each bring some. */
function spellsOf(field: CutField, machine: string): Float64Array {
  const spells = field.spells.filter((spell) => spell.machine === machine);
  return Float64Array.from(spells.flatMap((spell) => [...spell.bounds_s]));
}

function grainWithin(record: BeamRecord, bounds_s: Float64Array): ClaimedGrain {
  const { machine, passage, running } = record;
  let amount = 0;
  let fill_weighted = passage.fill_weighted === undefined ? Number.NaN : 0;
  let running_s = 0;
  let start_s = Number.POSITIVE_INFINITY;
  let end_s = Number.NEGATIVE_INFINITY;
  for (let i = 0; i + 1 < bounds_s.length; i += 2) {
    amount += amountBetween(passage, bounds_s[i], bounds_s[i + 1]);
    if (passage.fill_weighted !== undefined)
      fill_weighted += riseBetween(passage.t_s, passage.fill_weighted, bounds_s[i], bounds_s[i + 1]);
    running_s += runningBetween(running, bounds_s[i], bounds_s[i + 1]);
    start_s = Math.min(start_s, bounds_s[i]);
    end_s = Math.max(end_s, bounds_s[i + 1]);
  }
  return { machine, amount, fill_weighted, basis: passage.basis, running_s, start_s, end_s };
}
