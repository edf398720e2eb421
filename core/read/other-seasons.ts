/**
 * Logs of another season that slipped into this one. Two years' logs of one field over each other would find no fresh ground
 * the second time and ruin every total, so a log recorded half a year or more from the rest is left out, and said so. Single
 * rows with such a date in a log of this season (a receiver that has not yet heard the date) lose it.
 */
import { failure, type Notice, type Result, success } from '../errors.ts';
import { isoDate } from '../iso-time.ts';
import { median } from '../stats/quantiles.ts';
import type { MachineLogs } from './season-inputs.ts';
import type { Ticket } from './ticket.ts';

/** Further apart than this, two logs are not of one harvest, days. */
const SEASON_DAYS = 180;
const DAY_S = 86_400;
/** Rows of a log that weigh as much as one log of fewer rows. */
const ROWS_A_VOTE = 100;

/**
 * The season's time is that of its tickets, else of most of its rows. Fails with `log_of_another_season` when every log
 * lies outside it.
 */
export function withoutOtherSeasons(
  machines: readonly MachineLogs[],
  tickets: readonly Pick<Ticket, 'start_utc_s'>[],
): Result<readonly MachineLogs[]> {
  const byTickets_s = median(tickets.map(({ start_utc_s }) => start_utc_s));
  const basis = Number.isNaN(byTickets_s) ? 'other logs' : 'tickets';
  const centre_s = basis === 'tickets' ? byTickets_s : centreOfLogs(machines);
  if (Number.isNaN(centre_s)) return success(machines);
  const sieve = new SeasonSieve(centre_s);
  const logs = machines.map((machine) => sieve.logs(machine));
  if (sieve.isIdle) return success(machines);
  const notices = [
    ...[...sieve.foreign].map(([source, recorded_s]) => foreignLog(source, recorded_s, centre_s, basis)),
    ...[...sieve.misdated].map(([source, rows]) => misdatedRows(source, rows)),
  ];
  const left = logs.some(({ runs, tallies, flows }) => runs.length + tallies.length + flows.length > 0);
  if (!left) {
    const { code, source, text } = notices[0];
    return failure({ code, source, text });
  }
  return success(logs, notices);
}

class SeasonSieve {
  /** By source: when the log was recorded, Unix s. */
  readonly foreign = new Map<string, number>();
  /** By source: rows that lost their date. */
  readonly misdated = new Map<string, number>();
  readonly #centre_s: number;

  constructor(centre_s: number) {
    this.#centre_s = centre_s;
  }

  get isIdle(): boolean {
    return this.foreign.size + this.misdated.size === 0;
  }

  logs(machine: MachineLogs): MachineLogs {
    return {
      ...machine,
      runs: machine.runs
        .filter(({ run }) => this.#belongs(run.source, run.fixes.utc_s))
        .map((hinted) => {
          const utc_s = this.#dated(hinted.run.source, hinted.run.fixes.utc_s);
          return { ...hinted, run: { ...hinted.run, fixes: { ...hinted.run.fixes, utc_s } } };
        }),
      tallies: this.#tables(machine.tallies),
      flows: this.#tables(machine.flows),
    };
  }

  #tables<
    Table extends {
      readonly reading: { readonly rows: { readonly source: string; readonly utc_s: Float64Array } };
    },
  >(tables: readonly Table[]): Table[] {
    return tables
      .filter(({ reading }) => this.#belongs(reading.rows.source, reading.rows.utc_s))
      .map((table) => {
        const { rows } = table.reading;
        const utc_s = this.#dated(rows.source, rows.utc_s);
        return { ...table, reading: { ...table.reading, rows: { ...rows, utc_s } } };
      });
  }

  #isForeign(utc_s: number): boolean {
    return Math.abs(utc_s - this.#centre_s) > SEASON_DAYS * DAY_S;
  }

  #belongs(source: string, utc_s: Float64Array): boolean {
    const recorded_s = median(utc_s);
    if (!this.#isForeign(recorded_s)) return true;
    this.foreign.set(source, recorded_s);
    return false;
  }

  /** Times with those of another season made NaN; the column itself when there are none. */
  #dated(source: string, utc_s: Float64Array): Float64Array {
    const count = utc_s.reduce((sum, s) => sum + (this.#isForeign(s) ? 1 : 0), 0);
    if (count === 0) return utc_s;
    this.misdated.set(source, (this.misdated.get(source) ?? 0) + count);
    return utc_s.map((s) => (this.#isForeign(s) ? Number.NaN : s));
  }
}

function centreOfLogs(machines: readonly MachineLogs[]): number {
  const times = machines.flatMap(({ runs, tallies, flows }) => [
    ...runs.map(({ run }) => run.fixes.utc_s),
    ...tallies.map(({ reading }) => reading.rows.utc_s),
    ...flows.map(({ reading }) => reading.rows.utc_s),
  ]);
  // each log's own middle, as often as it has rows: a stray short log does not move the season
  return median(times.flatMap((utc_s) => Array(Math.ceil(utc_s.length / ROWS_A_VOTE)).fill(median(utc_s))));
}

function foreignLog(source: string, recorded_s: number, centre_s: number, basis: string): Notice {
  const doubt =
    basis === 'tickets'
      ? "that the receiver's date and those on the tickets are right"
      : "that the receiver's date is right";
  return {
    code: 'log_of_another_season',
    severity: 'mend',
    source,
    count: 1,
    text: `${source} was recorded about ${dateOf(recorded_s)}, half a year or more from the ${basis} of this season (${dateOf(centre_s)}), so it was left out. Check that it is this season's log and ${doubt}.`,
  };
}

function misdatedRows(source: string, count: number): Notice {
  return {
    code: 'rows_misdated',
    severity: 'info',
    source,
    count,
    text: `${source}: ${count} rows carry a date half a year or more from the season, as receivers do before they have heard the date; they were timed by the rows around them where those allow it, else left out.`,
  };
}

function dateOf(utc_s: number): string {
  return isoDate(Math.floor(utc_s / DAY_S));
}
