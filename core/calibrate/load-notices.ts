/** What is noticed when tickets are matched to the beam. */
import type { Notice } from '../errors.ts';
import type { Crop } from '../grain/crops.ts';
import type { Season } from '../season.ts';
import { KG_M3_PER_KG_HL, kgM3FromLbBu } from '../units.ts';
import { nearestRunning } from './claimed-grain.ts';
import type { Load } from './load.ts';
import { type BeamRecord, type TicketClaim, ticketNotice } from './ticket-claims.ts';
import { shiftText, shiftToAgreement, shiftToRunning } from './ticket-shift.ts';

/** Windows may overlap by as much as two people's watches differ. */
const OVERLAP_S = 5;
/** Loads lighter than this are at the mercy of the scale (10 kg of 1000 are 1 %); advice is 1400 to 2700 kg [Nielsen, Purdue]. */
const SMALL_LOAD_KG = 1000;
/** Test weights further than this from the crop's usual density (natural logarithm) are doubted; crops vary by about 15 %. */
const DENSITY_ROOM = 0.18;
/** Within this of the usual density after a correction, the correction is named. */
const CORRECTED_ROOM = 0.12;

/** Tickets that a sentence names. */
const MOST_NAMED = 10;

/** Claims without grain, times in another zone, and whole-field tickets beside loads of that field. */
export function claimNotices(
  claims: readonly TicketClaim[],
  matched: readonly TicketClaim[],
  empty: readonly TicketClaim[],
  records: readonly BeamRecord[],
): Notice[] {
  const hours = shiftToRunning(
    empty.filter((claim) => claim.window !== undefined),
    records,
  );
  const notices = empty.map((claim) => emptyNotice(claim, records, hours));
  const agreeing = empty.length === 0 ? shiftToAgreement(matched, records) : undefined;
  if (agreeing !== undefined) {
    const { tickets } = matched[0];
    const text =
      `The tickets disagree widely with the beam as they are; with ${shiftText(agreeing)} added to their start and end they ` +
      'would agree. Are their times local, not UTC? Write them with their offset, such as 13:05:00-05:00; is their date right?';
    notices.push({
      code: 'ticket_times_shifted',
      severity: 'mend',
      source: tickets[0].source,
      line: tickets[0].line,
      count: matched.length,
      text,
    });
  }
  for (const claim of claims) {
    if (claim.window !== undefined) continue;
    const others = claims.filter(
      (other) => other.window && other.field === claim.field && sameMachine(other, claim),
    );
    if (others.length === 0) continue;
    const names = `${others.slice(0, MOST_NAMED).map(nameOf).join(', ')}${others.length > MOST_NAMED ? ` and ${others.length - MOST_NAMED} more` : ''}`;
    notices.push(
      ticketNotice(
        claim.tickets[0],
        'field_ticket_beside_loads',
        'look',
        `has no start and end and so stands for all of field "${claim.field?.name}", of which ${names} are loads; if it is a load too, add its times.`,
      ),
    );
  }
  return notices;
}

/**
 * Windows of one machine that overlap by more than the watches' difference: its grain would count twice. Each is told beside the
 * one before it that ends last.
 */
export function overlapNotices(claims: readonly TicketClaim[], loads: readonly Load[]): Notice[] {
  const windows = claims
    .filter((claim) => claim.window !== undefined)
    .map((claim) => ({
      claim,
      machine: loads.find((load) => load.tickets === claim.tickets)?.machine ?? claim.machine,
    }))
    .sort((a, b) => (a.claim.window?.start_s ?? 0) - (b.claim.window?.start_s ?? 0));
  const notices: Notice[] = [];
  const latest = new Map<string | undefined, TicketClaim>();
  for (const { claim, machine } of windows) {
    const earlier = latest.get(machine);
    const start_s = claim.window?.start_s ?? 0;
    const end_s = claim.window?.end_s ?? 0;
    const earlierEnd_s = earlier?.window?.end_s ?? Number.NEGATIVE_INFINITY;
    const overlap_s = Math.min(end_s, earlierEnd_s) - start_s;
    if (earlier !== undefined && overlap_s > OVERLAP_S) {
      const what = `starts ${durationText(overlap_s)} before ticket ${nameOf(earlier)} of the same machine ends; grain of that time counts in both: mend start or end.`;
      notices.push(ticketNotice(claim.tickets[0], 'ticket_windows_overlap', 'look', what));
    }
    if (!(end_s <= earlierEnd_s)) latest.set(machine, claim);
  }
  return notices;
}

/** Test weights that no such crop has, with the unit that would explain them. */
export function densityNotices(loads: readonly Load[], cropOf: (load: Load) => Crop | undefined): Notice[] {
  return loads.flatMap((load) =>
    load.tickets.flatMap((ticket) => {
      const usual = cropOf(load)?.bulk_density_kg_m3 ?? Number.NaN;
      const off = (density_kg_m3: number) => Math.abs(Math.log(density_kg_m3 / usual));
      const found = ticket.bulk_density_kg_m3;
      if (!(off(found) > DENSITY_ROOM)) return [];
      const lb_bu_per_kg_hl = kgM3FromLbBu(1) / KG_M3_PER_KG_HL;
      const cause =
        off(found * lb_bu_per_kg_hl) < CORRECTED_ROOM
          ? 'it looks like lb/bu under a heading that says kg/hL'
          : off(found / lb_bu_per_kg_hl) < CORRECTED_ROOM
            ? 'it looks like kg/hL under a heading that says lb/bu'
            : 'check the number and its unit';
      const what = `has a test weight of ${(found / KG_M3_PER_KG_HL).toFixed(1)} kg/hL, where ${load.crop} has about ${(usual / KG_M3_PER_KG_HL).toFixed(0)}: ${cause}.`;
      return [ticketNotice(ticket, 'implausible_bulk_density', 'look', what)];
    }),
  );
}

/** Loads whose weight the scale cannot tell well enough, told in the season's units. */
export function smallLoadNotices(loads: readonly Load[], units: Season['units']): Notice[] {
  const [least, usual] =
    units === 'us' ? ['2200 lb', '3000 to 6000 lb'] : [`${SMALL_LOAD_KG} kg`, '1400 to 2700 kg'];
  return loads
    .filter((load) => load.scale_kg < SMALL_LOAD_KG)
    .map((load) =>
      ticketNotice(
        load.tickets[0],
        'small_load',
        'info',
        `weighs less than ${least}, so that the scale's divisions are felt; weigh larger loads (${usual}).`,
      ),
    );
}

function emptyNotice(claim: TicketClaim, records: readonly BeamRecord[], hours: number | undefined): Notice {
  const ticket = claim.tickets[0];
  const where = claim.machine === undefined ? 'any machine' : `machine "${claim.machine}"`;
  if (claim.window === undefined)
    return ticketNotice(
      ticket,
      'field_without_grain',
      'mend',
      `stands for field "${claim.field?.name}", in which ${where} has cut nothing that the beam saw; is the field or its boundary right?`,
    );
  const shift = hours === undefined ? '' : ` With ${shiftText(hours)} added it would fall on running time.`;
  return ticketNotice(
    ticket,
    'ticket_outside_log',
    'mend',
    `has no beam data of ${where} between its start and end; ${nearestText(claim, records)}: wrong day or time zone?${shift}`,
  );
}

/** How far away the nearest running of the machines in question is. */
function nearestText(claim: TicketClaim, records: readonly BeamRecord[]): string {
  const { start_s, end_s } = claim.window ?? { start_s: 0, end_s: 0 };
  const near = records
    .filter(({ machine }) => claim.machine === undefined || claim.machine === machine)
    .map(({ running }) => nearestRunning(running, start_s, end_s));
  const after_s = Math.min(...near.map((each) => each.after_s));
  const before_s = Math.min(...near.map((each) => each.before_s));
  if (!Number.isFinite(Math.min(after_s, before_s))) return 'there are none at all';
  return after_s < before_s
    ? `the nearest begin ${durationText(after_s)} later`
    : `the nearest end ${durationText(before_s)} earlier`;
}

/** `3 d 4 h`, `5 h 10 min`, `12 min 5 s`, `40 s`. */
function durationText(duration_s: number): string {
  const s = Math.round(duration_s);
  const parts: readonly (readonly [number, string])[] = [
    [Math.floor(s / 86_400), 'd'],
    [Math.floor(s / 3600) % 24, 'h'],
    [Math.floor(s / 60) % 60, 'min'],
    [s % 60, 's'],
  ];
  const first = Math.max(
    0,
    parts.findIndex(([count]) => count > 0),
  );
  const shown = parts.slice(first, first + 2).filter(([count], i) => count > 0 || i === 0);
  return s === 0 ? '0 s' : shown.map(([count, unit]) => `${count} ${unit}`).join(' ');
}

const nameOf = (claim: TicketClaim): string => claim.tickets.map((ticket) => ticket.ticket).join(' + ');

const sameMachine = (a: TicketClaim, b: TicketClaim): boolean =>
  a.machine === undefined || b.machine === undefined || a.machine === b.machine;
