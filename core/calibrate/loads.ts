/**
 * Scale tickets matched to the grain that passed the beam: the loads that a load fit is made from.
 *
 * Beam mass of a load `x = ρ V` (`x₂ = ρ Σ V·fill` beside it), V heaped volume with shape factor 1, ρ the tickets' test weight, else the crop's usual
 * bulk density. With test weights the gain is a property of the machine; without, of machine and crop.
 */
import type { Notice } from '../errors.ts';
import type { Crop } from '../grain/crops.ts';
import { fewOfEach } from '../notice-limit.ts';
import type { Ticket } from '../read/ticket.ts';
import type { Season } from '../season.ts';
import { type ClaimedGrain, fieldOfWindow, grainOfClaim } from './claimed-grain.ts';
import { ALL_MACHINES, type Load, SCALE_SHARE, SCALE_SIGMA_KG } from './load.ts';
import { claimNotices, densityNotices, overlapNotices, smallLoadNotices } from './load-notices.ts';
import {
  type BeamRecord,
  type CutField,
  claimsOfTickets,
  type TicketClaim,
  ticketNotice,
} from './ticket-claims.ts';

export interface LoadMatchInput {
  readonly tickets: readonly Ticket[];
  readonly epoch_utc_s: number;
  readonly records: readonly BeamRecord[];
  readonly fields: readonly CutField[];
  /** In which notices speak; metric when absent. */
  readonly units?: Season['units'];
}

/** A machine that delivered this share of a load is the load's; what others let by in that time was not for it. */
const OWN_SHARE = 0.98;

/**
 * Loads in the order of their first ticket, and what was noticed: tickets whose machine, field or grain is unknown,
 * windows without beam data (with the shift of whole hours that would mend them), windows of one machine that
 * overlap, test weights of another unit. A load without grain is left out.
 */
export function matchLoads(input: LoadMatchInput): {
  readonly loads: readonly Load[];
  readonly notices: readonly Notice[];
} {
  const { records, fields } = input;
  const { claims, notices: claimed } = claimsOfTickets(input.tickets, records, fields, input.epoch_utc_s);
  const notices = [...claimed];
  const loads: Load[] = [];
  const matched: TicketClaim[] = [];
  const empty: TicketClaim[] = [];
  for (const claim of claims) {
    const field = claim.field ?? fieldOfWindow(claim, records, fields);
    const crop = field?.crop ?? onlyCrop(fields);
    const grain = mainDeliveries(grainOfClaim(claim, records));
    if (!hasGrain(grain)) {
      empty.push(claim);
    } else if (crop === undefined) {
      notices.push(
        ticketNotice(
          claim.tickets[0],
          'ticket_crop_unknown',
          'mend',
          'names no field, and its grain was cut in none of them, so that its crop is not known; add the field.',
        ),
      );
    } else {
      matched.push(claim);
      loads.push(loadFrom(claim, grain, crop));
    }
  }
  const cropOf = (load: Load) => fields.find((field) => field.crop.name === load.crop)?.crop;
  const said = [
    ...notices,
    ...claimNotices(claims, matched, empty, records),
    ...overlapNotices(claims, loads),
    ...densityNotices(loads, cropOf),
    ...smallLoadNotices(loads, input.units),
  ];
  return { loads, notices: fewOfEach(said) };
}

/** Loads by machine and crop, in order of appearance: each group is calibrated by itself. */
export function groupLoads(
  loads: readonly Load[],
): readonly { readonly machine: string; readonly crop: string; readonly loads: readonly Load[] }[] {
  const groups = new Map<string, Load[]>();
  for (const load of loads) {
    const key = JSON.stringify([load.machine, load.crop]);
    groups.set(key, [...(groups.get(key) ?? []), load]);
  }
  return [...groups.values()].map((group) => ({
    machine: group[0].machine,
    crop: group[0].crop,
    loads: group,
  }));
}

/**
 * Bulk density with which to turn a machine's volume into mass, so that it agrees with the loads that calibrate it: that of
 * the loads (total mass over total volume), else `usual_kg_m3`.
 */
export function bulkDensityOfLoads(loads: readonly Load[], usual_kg_m3: number): number {
  const dense = loads.filter((load) => load.bulk_density_kg_m3 > 0);
  return harmonicDensity(dense.map((load) => [load.scale_kg, load.bulk_density_kg_m3])) || usual_kg_m3;
}

/** Only the machine that delivered nearly all, or all of them. */
function mainDeliveries(grain: readonly ClaimedGrain[]): readonly ClaimedGrain[] {
  const total = grain.reduce((sum, each) => sum + each.amount, 0);
  for (const machine of new Set(grain.map((each) => each.machine))) {
    const own = grain.filter((each) => each.machine === machine);
    if (own.reduce((sum, each) => sum + each.amount, 0) >= OWN_SHARE * total) return own;
  }
  return grain;
}

function hasGrain(grain: readonly ClaimedGrain[]): boolean {
  const amount = grain.reduce((sum, each) => sum + each.amount, 0);
  return amount > 0 && grain.some((each) => each.running_s > 0);
}

function loadFrom(claim: TicketClaim, grain: readonly ClaimedGrain[], crop: Crop): Load {
  const { tickets } = claim;
  const scale_kg = tickets.reduce((sum, ticket) => sum + ticket.net_kg, 0);
  const running_s = grain.reduce((sum, each) => sum + each.running_s, 0);
  const weighed = tickets.filter((ticket) => ticket.bulk_density_kg_m3 > 0);
  const density =
    harmonicDensity(weighed.map((ticket) => [ticket.net_kg, ticket.bulk_density_kg_m3])) ||
    crop.bulk_density_kg_m3;
  const isWeighed = weighed.length === tickets.length && grain.every(({ basis }) => basis === 'volume');
  const machines = new Set(grain.map((each) => each.machine));
  const massOf = (amount: (each: ClaimedGrain) => number) =>
    grain.reduce((sum, each) => sum + amount(each) * (each.basis === 'volume' ? density : 1), 0);
  return {
    ticket: [...new Set(tickets.map((ticket) => ticket.ticket))].join(' + '),
    tickets,
    machine: machines.size === 1 ? grain[0].machine : ALL_MACHINES,
    crop: crop.name,
    start_s: Math.min(...grain.map((each) => each.start_s)),
    end_s: Math.max(...grain.map((each) => each.end_s)),
    scale_kg,
    scale_sigma_kg: Math.hypot(SCALE_SIGMA_KG * Math.sqrt(tickets.length), SCALE_SHARE * scale_kg),
    x_kg: massOf((each) => each.amount),
    x2_kg: massOf((each) => each.fill_weighted),
    running_s,
    mean_flow_kg_s: scale_kg / running_s,
    bulk_density_kg_m3: grain.some((each) => each.basis === 'volume') ? density : Number.NaN,
    ...(isWeighed && { test_weight_share: density / crop.bulk_density_kg_m3 - 1 }),
    moisture_pct: meanMoisture(tickets),
  };
}

/** Total mass over total volume; NaN without any. */
function harmonicDensity(parts: readonly (readonly [mass_kg: number, density_kg_m3: number])[]): number {
  const mass_kg = parts.reduce((sum, [mass]) => sum + mass, 0);
  const volume_m3 = parts.reduce((sum, [mass, density]) => sum + mass / density, 0);
  return mass_kg / volume_m3;
}

/** By mass, of the tickets that say. */
function meanMoisture(tickets: readonly Ticket[]): number {
  const known = tickets.filter((ticket) => Number.isFinite(ticket.moisture_pct));
  const mass_kg = known.reduce((sum, ticket) => sum + ticket.net_kg, 0);
  return known.reduce((sum, ticket) => sum + ticket.net_kg * ticket.moisture_pct, 0) / mass_kg;
}

function onlyCrop(fields: readonly CutField[]): Crop | undefined {
  return new Set(fields.map((field) => field.crop.name)).size === 1 ? fields[0].crop : undefined;
}
