/** Tally rows, each of which sums up an interval of the beam → one machine record. */
import { ascendingRows, concatenate, pickRows } from '../columns.ts';
import { type DataError, failure, type Notice, type Result, success } from '../errors.ts';
import type { TallyColumns } from '../read/logger-run.ts';
import { median } from '../stats/quantiles.ts';
import type { TimedFixes } from '../track/track.ts';
import { type ClockSolution, timeFromTick } from './clock.ts';
import type { TimedPaddles } from './flow.ts';
import { isKnown } from './flow-records.ts';
import type { HintedFixes } from './joined-fixes.ts';
import type { MachineRecord } from './machine-record.ts';
import { rowsInTime, withoutWildTimes } from './row-order.ts';

/** Rows of one log with the field that its log entry names (−1 for none). */
export interface TallyPart {
  readonly columns: TallyColumns;
  readonly field: number;
}

/** A counter laid on UTC, and the stretch of it that the fixes cover. */
export interface CounterClock {
  readonly clock: ClockSolution;
  readonly first_us: number;
  readonly last_us: number;
}

export interface TallyContext {
  readonly machine: number;
  readonly epoch_utc_s: number;
  /** The machine's fixes from files beside the rows; used when the rows carry no position. */
  readonly fixes: HintedFixes | undefined;
  /** Clocks of those files, for rows that count by the logger's counter. */
  readonly clocks: readonly CounterClock[];
}

/** Rows further apart than so many usual intervals have a pause between them. */
const PAUSE_INTERVALS = 2.5;

type NumberColumn = Exclude<keyof TallyColumns, 'source'>;

/**
 * Each row ends an interval in which `paddles` passed and the beam was dark for `dark_s`; D = dark time / interval, chain
 * speed = paddles · pitch / interval. Rows at times that other rows have had are left out, with a notice. Fails with
 * `no_time` when no row can be laid on the clock, with `no_fixes` when neither the rows nor other files know a position.
 */
export function machineFromTallies(
  parts: readonly TallyPart[],
  context: TallyContext,
): Result<MachineRecord> {
  const source = [...new Set(parts.map((part) => part.columns.source))].join(', ');
  const times = parts.map(({ columns }) => withoutWildTimes(tallyTimes(columns, context)));
  const order = rowsInTime(times);
  const ordered_s = pickRows(concatenate(times), order);
  const kept = ascendingRows(ordered_s);
  if (kept.length === 0) return failure(noTallyTime(source));
  const rows = kept.map((row) => order[row]);
  const column = (name: NumberColumn) =>
    pickRows(concatenate(parts.map(({ columns }) => columns[name])), rows);
  const t_s = pickRows(ordered_s, kept);
  const own = fixesFromTallies(t_s, column);
  const chosen = isKnown(own.latitude_deg) ? { fixes: own, field_hint: hintsOf(parts, rows) } : context.fixes;
  if (chosen === undefined || chosen.fixes.t_s.length === 0) return failure(noTallyFixes(source));
  const up = column('up');
  const known = Int32Array.from(up.keys()).filter((row) => !Number.isNaN(up[row]));
  return success(
    {
      machine: context.machine,
      source,
      ...chosen,
      header: { t_s: pickRows(t_s, known), up: Uint8Array.from(pickRows(up, known)) },
      moisture: { t_s, moisture_pct: column('moisture_pct') },
      pitch: { t_s: new Float64Array(), pitch_rad: new Float64Array() },
      grain: {
        kind: 'paddles',
        single: false,
        runs: [],
        paddles: tallyPaddles(t_s, column('paddles'), column('dark_s')),
      },
    },
    ordered_s.length > kept.length ? [rowsLeftOut(source, ordered_s.length - kept.length)] : [],
  );
}

/** When each row ended, s of the season: by its own time, else by the counter. NaN where neither tells. */
export function tallyTimes(
  columns: TallyColumns,
  { clocks, epoch_utc_s }: Pick<TallyContext, 'clocks' | 'epoch_utc_s'>,
): Float64Array {
  const clock = clockOf(columns.tick_us, clocks);
  const byTick = clock === undefined ? undefined : timeFromTick(clock, columns.tick_us, epoch_utc_s);
  return columns.utc_s.map((utc_s, i) =>
    Number.isNaN(utc_s) ? (byTick?.[i] ?? Number.NaN) : utc_s - epoch_utc_s,
  );
}

/** The clock whose counter runs beside the rows' for the longest; the first one when none does. */
function clockOf(tick_us: Float64Array, clocks: readonly CounterClock[]): ClockSolution | undefined {
  const [best] = clocks
    .map(({ clock, first_us, last_us }) => ({
      clock,
      shared_us: Math.min(last_us, tick_us[tick_us.length - 1]) - Math.max(first_us, tick_us[0]),
    }))
    .sort((a, b) => Math.max(0, b.shared_us) - Math.max(0, a.shared_us));
  return best?.clock;
}

/** A row as one stretch of `paddles` paddles. An empty row stands at the start of the first one and of each after a pause. */
function tallyPaddles(row_s: Float64Array, paddles: Float64Array, dark_s: Float64Array): TimedPaddles {
  const steps_s = row_s.map((s, i) => (i > 0 ? s - row_s[i - 1] : Number.NaN));
  const usual_s = median(steps_s) || 1;
  const most = 2 * row_s.length;
  const t_s = new Float64Array(most);
  const period_s = new Float64Array(most).fill(Number.NaN);
  const dark_fraction = new Float64Array(most).fill(Number.NaN);
  const slots = new Float64Array(most).fill(1);
  let k = 0;
  for (let i = 0; i < row_s.length; i++) {
    const follows = steps_s[i] <= PAUSE_INTERVALS * usual_s;
    const interval_s = follows ? steps_s[i] : usual_s;
    if (!follows) t_s[k++] = row_s[i] - usual_s;
    t_s[k] = row_s[i];
    if (paddles[i] > 0) {
      period_s[k] = interval_s;
      dark_fraction[k] = dark_s[i] / interval_s;
      slots[k] = paddles[i];
    }
    k++;
  }
  return {
    t_s: t_s.slice(0, k),
    period_s: period_s.slice(0, k),
    dark_fraction: dark_fraction.slice(0, k),
    slots: slots.slice(0, k),
  };
}

function fixesFromTallies(t_s: Float64Array, column: (name: NumberColumn) => Float64Array): TimedFixes {
  const unknown = new Float64Array(t_s.length).fill(Number.NaN);
  return {
    t_s,
    latitude_deg: column('latitude_deg'),
    longitude_deg: column('longitude_deg'),
    altitude_m: unknown,
    speed_m_s: column('speed_m_s'),
    course_deg: column('course_deg'),
    quality: unknown,
    satellites: unknown,
    hdop: unknown,
  };
}

function hintsOf(parts: readonly TallyPart[], rows: Int32Array): Int32Array {
  const hints = parts.flatMap(({ columns, field }) => Array<number>(columns.utc_s.length).fill(field));
  return rows.map((row) => hints[row]);
}

function rowsLeftOut(source: string, count: number): Notice {
  return {
    code: 'rows_out_of_time',
    severity: 'look',
    source,
    count,
    text: `${source}: ${count} rows have no time, or one for which there is a row already; they were left out of all totals. Check that no two files cover the same time.`,
  };
}

function noTallyTime(source: string): DataError {
  return {
    code: 'no_time',
    source,
    text: `${source}: the rows count by the logger's own clock, and no file with GPS times shares it. Add the log that holds the fixes to the same log entry.`,
  };
}

function noTallyFixes(source: string): DataError {
  return {
    code: 'no_fixes',
    source,
    text: `${source}: the rows carry no position and the log entry lists no file with fixes, so nothing can be put on a map. Add the file that holds the positions.`,
  };
}
