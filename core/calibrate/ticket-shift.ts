/** Whether tickets would fit the log if all their times were moved by whole hours or days: local time written as UTC, a wrong date. */
import { scaledMad } from '../stats/quantiles.ts';
import { grainOfClaim } from './claimed-grain.ts';
import type { BeamRecord, TicketClaim } from './ticket-claims.ts';

/** Time zones reach from −12 to +14 hours; a wrong day is written within a week of the right one. */
const ZONES = Array.from({ length: 28 }, (_, i) => alternating(i));
const DAYS = Array.from({ length: 14 }, (_, i) => 24 * alternating(i));
/** Nearest first. */
const HOURS = [...ZONES, ...DAYS];
/** A window fits where the elevator ran for this share of it. */
const FITS_SHARE = 0.5;
/** Times are suspected when scale over beam scatters by more than this from load to load (natural logarithm) … */
const SUSPICIOUS_SCATTER = 0.15;
/** … and a shift explains them when it takes all but this share of the scatter away. */
const EXPLAINED_SHARE = 0.25;
/** Below this, agreement may be luck. */
const LEAST_CLAIMS = 4;

/** Hours to add so that windows without beam data fall on a running elevator: for most of them, the smallest such. */
export function shiftToRunning(
  claims: readonly TicketClaim[],
  records: readonly BeamRecord[],
): number | undefined {
  let best: number | undefined;
  let most = claims.length / 2;
  for (const hours of HOURS) {
    const fitting = claims.filter((claim) => fillsWindow(moved(claim, hours), records)).length;
    if (fitting > most || (fitting === most && best === undefined && fitting > 0)) {
      most = fitting;
      best = hours;
    }
  }
  return best;
}

/** Hours to add so that scale and beam, which disagree widely from load to load, come to agree; `undefined` when none does. */
export function shiftToAgreement(
  claims: readonly TicketClaim[],
  records: readonly BeamRecord[],
): number | undefined {
  const timed = claims.filter((claim) => claim.window !== undefined);
  if (timed.length < LEAST_CLAIMS) return undefined;
  const before = scatterOf(timed, records);
  if (!(before > SUSPICIOUS_SCATTER)) return undefined;
  let best: number | undefined;
  let least = EXPLAINED_SHARE * before;
  for (const hours of HOURS) {
    const scatter = scatterOf(
      timed.map((claim) => moved(claim, hours)),
      records,
    );
    if (scatter < least) {
      least = scatter;
      best = hours;
    }
  }
  return best;
}

/** `+5 h`, `−1 day`, `+2 days`. */
export function shiftText(hours: number): string {
  const days = Math.abs(hours) / 24;
  const amount = Number.isInteger(days) ? `${days} day${days > 1 ? 's' : ''}` : `${Math.abs(hours)} h`;
  return `${hours > 0 ? '+' : '−'}${amount}`;
}

/** 1, −1, 2, −2 … */
function alternating(i: number): number {
  return (i % 2 === 0 ? 1 : -1) * ((i >> 1) + 1);
}

/** Whether the elevator of some machine ran for at least half of the claim's window. */
export function fillsWindow(claim: TicketClaim, records: readonly BeamRecord[]): boolean {
  if (claim.window === undefined) return false;
  const length_s = claim.window.end_s - claim.window.start_s;
  return grainOfClaim(claim, records).some(({ running_s }) => running_s >= FITS_SHARE * length_s);
}

/** The claim, its window that many hours later. */
export function moved(claim: TicketClaim, hours: number): TicketClaim {
  if (claim.window === undefined) return claim;
  const { start_s, end_s } = claim.window;
  return { ...claim, window: { start_s: start_s + 3600 * hours, end_s: end_s + 3600 * hours } };
}

/** Robust scatter of the logarithm of scale over beam; NaN unless every claim has grain. */
function scatterOf(claims: readonly TicketClaim[], records: readonly BeamRecord[]): number {
  const logs = claims.map((claim) => {
    const scale_kg = claim.tickets.reduce((sum, ticket) => sum + ticket.net_kg, 0);
    const amount = grainOfClaim(claim, records).reduce((sum, grain) => sum + grain.amount, 0);
    return Math.log(scale_kg / amount);
  });
  return logs.every(Number.isFinite) ? scaledMad(logs) : Number.NaN;
}
