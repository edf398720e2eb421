/** Ticket files with one mistake in them, and how well the program finds it. */
import { allWeighed } from './calibration-scenes.ts';
import { type SimulatedSeason, simulate, type TicketTruth } from './index.ts';
import { Random } from './random.ts';
import { runSeason } from './recovery.ts';

/** One weight off by 5 to 15 % either way; pounds under kilograms; two loads' weights exchanged; a load cut off by a third of its time at one end. */
export const MISTAKES = ['factor', 'pounds', 'swapped', 'span'] as const;
export type Mistake = (typeof MISTAKES)[number];

/** What came of one season with one mistake. */
export interface WrongTicketFinding {
  readonly seed: number;
  readonly mistake: Mistake;
  readonly loads: number;
  readonly wrong: number;
  readonly caught: number;
  readonly honest: number;
  readonly accused: number;
  /** Wet mass of the field when the program's proposal is accepted. */
  readonly mass_error_pct: number;
}

/** Two loads that differ by less than this cannot be told to have been exchanged, nor does it matter. */
const LEAST_SWAP = 0.05;
/** A load's share that is lost with a wrong start or end. */
const SPAN_SHARE = 1 / 3;
const KG_PER_LB = 0.45359237;

/** Loads of a season that counts. */
const LOADS = { least: 4, most: 12 };

/** The first `count` seasons from a seed on that have 4 to 12 loads. */
export function findWrongTickets(from: number, count: number): WrongTicketFinding[] {
  const findings: WrongTicketFinding[] = [];
  for (let seed = from; findings.length < count; seed++) {
    const season = simulate(allWeighed(seed));
    const { length } = season.truth.tickets;
    if (length >= LOADS.least && length <= LOADS.most) findings.push(findWrongTicket(seed, season));
  }
  return findings;
}

/** A season whose loads are all weighed, with one mistake among its tickets. */
function findWrongTicket(seed: number, season: SimulatedSeason): WrongTicketFinding {
  const random = new Random(seed, 'wrong ticket');
  const wanted = MISTAKES[seed % MISTAKES.length];
  const pair = mostUnlike(season.truth.tickets);
  const mistake = wanted === 'swapped' && pair === undefined ? 'factor' : wanted;
  const wrong =
    mistake === 'swapped' && pair !== undefined ? pair : [random.integer(season.truth.tickets.length)];
  const result = runSeason(withMistake(season, mistake, wrong, random));
  const [field] = result.summary.fields;
  const names = wrong.map((i) => season.truth.tickets[i].ticket);
  const loads = result.summary.calibrations.flatMap((calibration) => calibration.loads);
  const flagged = loads.filter((load) => load.flagged).map((load) => load.ticket);
  const caught = flagged.filter((ticket) => names.includes(ticket)).length;
  return {
    seed,
    mistake,
    loads: season.truth.tickets.length,
    wrong: wrong.length,
    caught,
    honest: season.truth.tickets.length - wrong.length,
    accused: flagged.length - caught,
    mass_error_pct: 100 * (field.mass_wet_kg / season.truth.fields[0].mass_wet_kg - 1),
  };
}

/** The two loads whose weights differ most, if by enough. */
function mostUnlike(tickets: readonly TicketTruth[]): [number, number] | undefined {
  const order = tickets.map((_, i) => i).sort((a, b) => tickets[a].true_kg - tickets[b].true_kg);
  const [least] = order;
  const most = order[order.length - 1];
  return tickets[most].true_kg > (1 + LEAST_SWAP) * tickets[least].true_kg ? [least, most] : undefined;
}

function withMistake(
  season: SimulatedSeason,
  mistake: Mistake,
  wrong: readonly number[],
  random: Random,
): SimulatedSeason {
  const path = 'tickets/tickets.csv';
  const text = new TextDecoder().decode(season.files.get(path));
  const [header, ...rows] = text.trimEnd().split('\n');
  const names = header.split(',');
  const at = { net: names.indexOf('net_kg'), start: names.indexOf('start'), end: names.indexOf('end') };
  const cells = rows.map((row) => row.split(','));
  const [first, second] = wrong;
  const net = (i: number) => Number(cells[i][at.net]);
  if (mistake === 'factor') {
    const off = random.between(0.05, 0.15) * (random.uniform() < 0.5 ? -1 : 1);
    cells[first][at.net] = (10 * Math.round((net(first) * (1 + off)) / 10)).toFixed(0);
  } else if (mistake === 'pounds') {
    cells[first][at.net] = (20 * Math.round(net(first) / KG_PER_LB / 20)).toFixed(0);
  } else if (mistake === 'swapped') {
    [cells[first][at.net], cells[second][at.net]] = [cells[second][at.net], cells[first][at.net]];
  } else {
    const start_ms = Date.parse(cells[first][at.start]);
    const end_ms = Date.parse(cells[first][at.end]);
    const lost_ms = 1000 * Math.round((SPAN_SHARE * (end_ms - start_ms)) / 1000);
    const isLate = random.uniform() < 0.5;
    const moved = new Date(isLate ? start_ms + lost_ms : end_ms - lost_ms);
    cells[first][isLate ? at.start : at.end] = `${moved.toISOString().slice(0, 19)}Z`;
  }
  const changed = `${[header, ...cells.map((row) => row.join(','))].join('\n')}\n`;
  return { ...season, files: new Map(season.files).set(path, new TextEncoder().encode(changed)) };
}

/** All findings together. */
export function wrongTicketTotals(findings: readonly WrongTicketFinding[]) {
  const sum = (of: (finding: WrongTicketFinding) => number) =>
    findings.reduce((total, finding) => total + of(finding), 0);
  const errors = findings.map(({ mass_error_pct }) => Math.abs(mass_error_pct)).sort((a, b) => a - b);
  return {
    seasons: findings.length,
    caught_pct: (100 * sum(({ caught }) => caught)) / sum(({ wrong }) => wrong),
    accused_pct: (100 * sum(({ accused }) => accused)) / sum(({ honest }) => honest),
    median_mass_error_pct: errors[errors.length >> 1],
  };
}
