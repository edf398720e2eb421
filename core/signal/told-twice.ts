/**
 * Grain that two kinds of logs of one machine tell of: a beam log and the tallies that the logger made of the same edges, or
 * the flow that another program made of them. It is counted once, from the log that says the most.
 */
import { pickRows } from '../columns.ts';
import type { Notice } from '../errors.ts';
import { isoFromUnix } from '../iso-time.ts';
import type { MachineRecord } from './machine-record.ts';

/** A stretch of time in which a record has told of grain, s of the season. */
export interface ToldSpan {
  readonly from_s: number;
  readonly to_s: number;
}

/** Moments of grain closer together than this leave no room for another log's between them, s: longer than most turns. */
const SILENCE_S = 120;

/** Stretches in which a record holds grain, ascending. */
export function toldSpans({ grain }: MachineRecord): ToldSpan[] {
  const t_s = grain.kind === 'paddles' ? grain.paddles.t_s : grain.records.t_s;
  const spans: { from_s: number; to_s: number }[] = [];
  for (const moment_s of t_s) {
    const open = spans[spans.length - 1];
    if (open !== undefined && moment_s - open.to_s <= SILENCE_S) open.to_s = moment_s;
    else spans.push({ from_s: moment_s, to_s: moment_s });
  }
  return spans.filter(({ from_s, to_s }) => to_s > from_s);
}

/** Columns of rows at `t_s` without those within `spans`; the very columns when none is. */
export function withoutTold<Columns extends { readonly source: string }>(
  columns: Columns,
  t_s: Float64Array,
  spans: readonly ToldSpan[],
): { readonly columns: Columns; readonly told_s: Float64Array } {
  const isTold = (moment_s: number) =>
    spans.some(({ from_s, to_s }) => moment_s >= from_s && moment_s <= to_s);
  const rows = Int32Array.from(t_s.keys()).filter((row) => !isTold(t_s[row]));
  const told_s = t_s.filter(isTold);
  if (told_s.length === 0) return { columns, told_s };
  const kept = Object.entries(columns).map(([name, column]: [string, unknown]) => {
    if (column instanceof Float64Array) return [name, pickRows(column, rows)];
    return [name, Array.isArray(column) ? Array.from(rows, (row) => column[row]) : column];
  });
  return { columns: Object.fromEntries(kept) as Columns, told_s };
}

/** Names the two logs and the time. `told_s` holds the moments left out, at least one. */
export function toldTwice(
  source: string,
  by: string,
  told_s: Float64Array,
  all: number,
  epoch_utc_s: number,
): Notice {
  const [from, to] = [Math.min, Math.max].map((end) =>
    (isoFromUnix(told_s.reduce((a, b) => end(a, b)) + epoch_utc_s) ?? '').replace(/\.\d+Z$/, 'Z'),
  );
  const rows = told_s.length === all ? `all ${all} rows` : `${told_s.length} of ${all} rows`;
  const text = `${source}: ${rows} tell of the same grain as ${by}, from ${from} to ${to}; it was counted once, from ${by}. Take one of the two out of "logs" if they are the same harvest, or give the file to the machine that it belongs to.`;
  return { code: 'grain_told_twice', severity: 'look', source, count: told_s.length, text };
}
