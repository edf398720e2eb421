import { describe, expect, it } from 'vitest';
import type { FlowLogColumns } from '../../../core/read/logger-run.ts';
import { withoutOtherSeasons } from '../../../core/read/other-seasons.ts';
import type { MachineLogs } from '../../../core/read/season-inputs.ts';

const DAY_S = 86_400;
/** 2026-09-14T00:00:00Z. */
const HARVEST_S = 1_789_344_000;

const run = (source: string, utc_s: number[]) => ({
  run: {
    source,
    fixes: { utc_s: Float64Array.from(utc_s) },
  } as unknown as MachineLogs['runs'][number]['run'],
  field: -1,
  tick_zero_utc_s: Number.NaN,
});
const flow = (source: string, utc_s: number[]) => ({
  reading: {
    rows: { source, utc_s: Float64Array.from(utc_s) } as unknown as FlowLogColumns,
    lines: 1,
    damage: [],
  },
  field: -1,
});
const inputsOf = (logs: Partial<MachineLogs>, ticketStarts: number[] = []) => ({
  logs: [{ machine: 0, runs: [], tallies: [], flows: [], ...logs }] as readonly MachineLogs[],
  tickets: ticketStarts.map((start_utc_s) => ({ start_utc_s })),
});
const seconds = (from_s: number, count: number) => Array.from({ length: count }, (_, i) => from_s + i);

function sieved({ logs, tickets }: ReturnType<typeof inputsOf>) {
  const result = withoutOtherSeasons(logs, tickets);
  if (!result.ok) throw new Error(result.error.text);
  return { logs: result.value, notices: result.notices };
}

describe('logs of another season', () => {
  it('hands on the very same logs when all are of one season, or nothing knows the time', () => {
    const good = inputsOf({
      runs: [run('a.log', seconds(HARVEST_S, 5)), run('b.log', [HARVEST_S + 90 * DAY_S])],
    });
    expect(sieved(good).logs).toBe(good.logs);
    const timeless = inputsOf({ runs: [run('a.log', [Number.NaN])] });
    expect(sieved(timeless).logs).toBe(timeless.logs);
  });

  it('leaves out a log of last year by the vote of the longer ones', () => {
    const inputs = inputsOf({
      runs: [run('old.log', seconds(HARVEST_S - 365 * DAY_S, 99)), run('new.log', seconds(HARVEST_S, 301))],
      flows: [flow('old.csv', [HARVEST_S - 365 * DAY_S])],
    });
    const { logs, notices } = sieved(inputs);
    expect(logs[0].runs.map(({ run: { source } }) => source)).toEqual(['new.log']);
    expect(logs[0].flows).toEqual([]);
    expect(notices.map(({ code, source }) => [code, source])).toEqual([
      ['log_of_another_season', 'old.log'],
      ['log_of_another_season', 'old.csv'],
    ]);
    expect(notices[0].text).toContain('2025-09-14');
    expect(notices[0].text).toContain('other logs of this season (2026-09-14)');
  });

  it('believes tickets before logs, and refuses when nothing is left', () => {
    const inputs = inputsOf({ runs: [run('old.log', seconds(HARVEST_S, 500))] }, [
      HARVEST_S + 365 * DAY_S,
      Number.NaN,
    ]);
    const result = withoutOtherSeasons(inputs.logs, inputs.tickets);
    expect(result.ok).toBe(false);
    if (result.ok) return;
    expect(result.error.code).toBe('log_of_another_season');
    expect(result.error.text).toContain('those on the tickets');
  });

  it('does not name tickets that carry no time', () => {
    const inputs = inputsOf(
      { runs: [run('old.log', [HARVEST_S - 365 * DAY_S]), run('new.log', seconds(HARVEST_S, 200))] },
      [Number.NaN],
    );
    expect(sieved(inputs).notices[0].text).toContain('from the other logs');
  });

  it('takes the date from single rows of another season and keeps the rows', () => {
    const inputs = inputsOf({
      runs: [run('a.log', [HARVEST_S - 1024 * 7 * DAY_S, ...seconds(HARVEST_S, 5)])],
      flows: [flow('b.csv', [HARVEST_S, HARVEST_S + 4000 * DAY_S, HARVEST_S + 2])],
    });
    const { logs, notices } = sieved(inputs);
    expect([...logs[0].runs[0].run.fixes.utc_s].slice(0, 2)).toEqual([Number.NaN, HARVEST_S]);
    expect([...logs[0].flows[0].reading.rows.utc_s]).toEqual([HARVEST_S, Number.NaN, HARVEST_S + 2]);
    expect(notices.map(({ code, count }) => [code, count])).toEqual([
      ['rows_misdated', 1],
      ['rows_misdated', 1],
    ]);
  });
});
