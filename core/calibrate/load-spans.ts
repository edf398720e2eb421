/**
 * Times proposed for loads whose tickets have none: the machine unloads where it stands, so that its stops part the grain
 * of a field into loads. Of the stops, those are chosen that make scale and beam agree best from load to load.
 */
import type { LoadProposal } from '../calibration-result.ts';
import type { Notice } from '../errors.ts';
import { isoFromUnix } from '../iso-time.ts';
import type { Ticket } from '../read/ticket.ts';
import { amountBetween } from '../signal/grain-passage.ts';
import { type BeamRecord, type CutField, claimsOfTickets } from './ticket-claims.ts';

/** No grain for so long is a stop: turns at the ends take less. Common practice, no source. */
const LEAST_STOP_S = 25;
/** Flow below this share of the mean counts as none. */
const EMPTY_SHARE = 0.05;
const STEP_S = 5;
/** Loads whose scale and beam scatter by more than this about their common ratio are not proposed: the stops are not those of unloading. */
const MOST_SCATTER = 0.03;
/** Fewer loads agree by luck. */
const LEAST_LOADS = 3;
/** More stops than these are turns, not unloading. */
const MOST_STOPS = 400;

/** Proposals for every field whose tickets have no times, are of one machine, and are in the order in which they were weighed. */
export function proposeSpans(
  tickets: readonly Ticket[],
  records: readonly BeamRecord[],
  fields: readonly CutField[],
  epoch_utc_s: number,
): { readonly proposals: readonly LoadProposal[]; readonly notices: readonly Notice[] } {
  const { claims } = claimsOfTickets(tickets, records, fields, epoch_utc_s);
  const proposals: LoadProposal[] = [];
  const notices: Notice[] = [];
  for (const claim of claims) {
    const { field, window } = claim;
    if (field === undefined || window !== undefined || claim.tickets.length < LEAST_LOADS) continue;
    const own = records.filter(({ machine }) =>
      field.spells.some((spell) => spell.machine === machine && (claim.machine ?? machine) === machine),
    );
    if (own.length !== 1) continue;
    const found = partedLoads(claim.tickets, own[0], field);
    if (found === undefined) continue;
    const { bounds_s, scatter } = found;
    const evidence = `${found.stops} stops without grain of ${LEAST_STOP_S} s or more; scale and beam of the parts between ${claim.tickets.length - 1} of them agree to ${(100 * scatter).toFixed(1)} %`;
    claim.tickets.forEach(({ ticket }, i) => {
      proposals.push({
        ticket,
        machine: own[0].machine,
        field: field.name,
        start_utc: isoFromUnix(epoch_utc_s + Math.round(bounds_s[i])) ?? '',
        end_utc: isoFromUnix(epoch_utc_s + Math.round(bounds_s[i + 1])) ?? '',
        scatter_pct: 100 * scatter,
        evidence,
      });
    });
    const { source, line } = claim.tickets[0];
    const text = `${source}: ${claim.tickets.length} tickets of "${field.name}" have no start and end and count together. The log proposes times for each (${evidence}); take them over ("spans" under calibration) to calibrate with single loads.`;
    notices.push({
      code: 'load_spans_proposed',
      severity: 'look',
      source,
      line,
      count: claim.tickets.length,
      text,
    });
  }
  return { proposals, notices };
}

interface PartedLoads {
  /** One more than there are loads. */
  readonly bounds_s: readonly number[];
  /** Standard deviation of ln(scale over beam) about its mean. */
  readonly scatter: number;
  readonly stops: number;
}

/**
 * Dynamic programming over the stops: the parts, in the order of the tickets, whose shares of the beam's total come nearest
 * to the tickets' shares of the scale's, in the sum of squared logarithms.
 */
function partedLoads(
  tickets: readonly Ticket[],
  record: BeamRecord,
  field: CutField,
): PartedLoads | undefined {
  const spells = field.spells.filter(({ machine }) => machine === record.machine);
  const all = spells.flatMap(({ bounds_s }) => [...bounds_s]);
  const [start_s, end_s] = [Math.min(...all), Math.max(...all)];
  const stops = stopsWithin(record, start_s, end_s);
  const n = tickets.length;
  if (stops.length < n - 1 || stops.length > MOST_STOPS) return undefined;
  const cuts_s = [start_s, ...stops, end_s];
  const total = amountBetween(record.passage, start_s, end_s);
  const scale_kg = tickets.reduce((sum, { net_kg }) => sum + net_kg, 0);
  const seen = cuts_s.map((cut_s) => amountBetween(record.passage, start_s, cut_s) / total);
  const last = cuts_s.length - 1;
  let cost = new Float64Array(last + 1).fill(Number.POSITIVE_INFINITY);
  cost[0] = 0;
  const from: Int32Array[] = [];
  for (let load = 0; load < n; load++) {
    const next = new Float64Array(last + 1).fill(Number.POSITIVE_INFINITY);
    const back = new Int32Array(last + 1).fill(-1);
    for (let to = 1; to <= last; to++)
      for (let at = 0; at < to; at++) {
        if (!Number.isFinite(cost[at])) continue;
        const off = Math.log((seen[to] - seen[at]) / (tickets[load].net_kg / scale_kg));
        const sum = cost[at] + off * off;
        if (sum < next[to]) {
          next[to] = sum;
          back[to] = at;
        }
      }
    from.push(back);
    cost = next;
  }
  const scatter = Math.sqrt(cost[last] / (n - 1));
  if (!(scatter <= MOST_SCATTER)) return undefined;
  const bounds_s = [cuts_s[last]];
  for (let load = n - 1, at = last; load >= 0; load--) {
    at = from[load][at];
    bounds_s.unshift(cuts_s[at]);
  }
  return { bounds_s, scatter, stops: stops.length };
}

/** Middles of the spells in which no grain passed the beam. */
function stopsWithin({ passage }: BeamRecord, start_s: number, end_s: number): number[] {
  const steps = Math.floor((end_s - start_s) / STEP_S);
  const least = (EMPTY_SHARE * amountBetween(passage, start_s, end_s)) / Math.max(1, steps);
  const stops: number[] = [];
  let empty_from = -1;
  for (let step = 0; step <= steps; step++) {
    const from_s = start_s + step * STEP_S;
    const isEmpty = step < steps && amountBetween(passage, from_s, from_s + STEP_S) < least;
    if (isEmpty && empty_from < 0) empty_from = step;
    if (isEmpty || empty_from < 0) continue;
    const spell_s = (step - empty_from) * STEP_S;
    if (spell_s >= LEAST_STOP_S && empty_from > 0 && step < steps)
      stops.push(start_s + (empty_from + (step - empty_from) / 2) * STEP_S);
    empty_from = -1;
  }
  return stops;
}
