/**
 * Logs of another season that slipped into this one. Two years' logs of one field over each other would find no fresh ground
 * the second time and ruin every total, so a log recorded half a year or more from the rest is left out, and said so.
 */
import { type DataError, failure, type Notice, type Result, success } from '../errors.ts';
import { isoDate } from '../iso-time.ts';
import { median } from '../stats/quantiles.ts';
import type { SeasonInputs } from './season-inputs.ts';

/** Further apart than this, two logs are not of one harvest, days. */
const SEASON_DAYS = 180;
const DAY_S = 86_400;

/**
 * The season's time is that of its tickets, else of most of its fixes. Fails with `log_of_another_season` when every log
 * lies outside it.
 */
export function withoutOtherSeasons(inputs: SeasonInputs): Result<SeasonInputs> {
  const centre_s = centreOf(inputs);
  if (Number.isNaN(centre_s)) return success(inputs);
  const foreign = new Map<string, number>();
  const belongs = (source: string, utc_s: Float64Array) => {
    const recorded_s = median(utc_s);
    const within = !(Math.abs(recorded_s - centre_s) > SEASON_DAYS * DAY_S);
    if (!within) foreign.set(source, recorded_s);
    return within;
  };
  const logs = inputs.logs.map((machine) => ({
    ...machine,
    runs: machine.runs.filter(({ run }) => belongs(run.source, run.fixes.utc_s)),
    tallies: machine.tallies.filter(({ reading }) => belongs(reading.rows.source, reading.rows.utc_s)),
    flows: machine.flows.filter(({ reading }) => belongs(reading.rows.source, reading.rows.utc_s)),
  }));
  if (foreign.size === 0) return success(inputs);
  const notices: Notice[] = [];
  let first: DataError | undefined;
  for (const [source, recorded_s] of foreign) {
    const text = `${source} was recorded about ${isoDate(Math.floor(recorded_s / DAY_S))}, half a year or more from the ${inputs.tickets.length > 0 ? 'tickets' : 'other logs'} of this season (${isoDate(Math.floor(centre_s / DAY_S))}), so it was left out. Check that it is this season's log and that the receiver's date is right.`;
    first ??= { code: 'log_of_another_season', source, text };
    notices.push({ code: 'log_of_another_season', severity: 'mend', source, count: 1, text });
  }
  const left = logs.some(({ runs, tallies, flows }) => runs.length + tallies.length + flows.length > 0);
  if (!left && first !== undefined) return failure(first, inputs.notices);
  return success({ ...inputs, logs, notices: [...inputs.notices, ...notices] });
}

function centreOf(inputs: SeasonInputs): number {
  const tickets = inputs.tickets.map(({ start_utc_s }) => start_utc_s);
  const byTickets = median(tickets);
  if (!Number.isNaN(byTickets)) return byTickets;
  const fixes = inputs.logs.flatMap(({ runs, tallies, flows }) => [
    ...runs.map(({ run }) => run.fixes.utc_s),
    ...tallies.map(({ reading }) => reading.rows.utc_s),
    ...flows.map(({ reading }) => reading.rows.utc_s),
  ]);
  // each log's own middle, as often as it has fixes: a stray short log does not move the season
  const middles = fixes.flatMap((utc_s) => Array(Math.ceil(utc_s.length / 100)).fill(median(utc_s)));
  return median(middles);
}
