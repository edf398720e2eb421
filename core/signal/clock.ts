/**
 * The logger's counter laid on UTC.
 *
 * A fix is stamped by the counter when its sentence *arrives*: always a little late, never early. Drawn as
 * y = UTC − counter against the counter, true time is therefore the upper envelope of the pairs, and its slope is the
 * drift of the logger's oscillator. The envelope line is the one that lies above every pair and closest to them in the
 * sum: an edge of the upper convex hull, the one over the mean abscissa [Moon, Skelly, Towsley 1999, INFOCOM: clock
 * skew by linear programming]. Leaps of the receiver's time (a late leap-second table, a date put right) begin a new piece.
 */
import { type DataError, failure, type Notice, type Result, success } from '../errors.ts';
import { median } from '../stats/quantiles.ts';

/** One stretch of the counter with one straight line. */
export interface ClockPiece {
  /** First counter value of the piece; the pieces reach to the next one, the first also backwards. */
  readonly from_tick_us: number;
  /** Unix seconds at `from_tick_us`. */
  readonly utc_s: number;
  /** Seconds of UTC that pass per second of the counter, minus one. */
  readonly drift: number;
}

export interface ClockSolution {
  readonly pieces: readonly ClockPiece[];
  /** Pairs used. */
  readonly pairs: number;
  /** Pairs thrown out because they disagreed with their neighbours by more than `LEAP_S`. */
  readonly outliers: number;
  /** Median lateness of the pairs behind the envelope, s. */
  readonly median_delay_s: number;
  /** Drift of the longest piece, parts per million (positive: the counter runs slow). */
  readonly drift_ppm: number;
}

/** A disagreement larger than this is a leap or an outlier, not a serial delay. */
const LEAP_S = 0.6;
/** So many pairs in a row must agree on the new time before a leap is believed. */
const LEAP_PAIRS = 6;
/** Below this span the drift cannot be told from jitter and is taken as zero. */
const DRIFT_SPAN_S = 300;
/** A crystal that is further off wants a look (common practice: ± 20 to 100 ppm; no source). */
export const MOST_DRIFT_PPM = 150;
/** A counter that runs faster or slower than this against UTC does not count microseconds. */
const MOST_RATE = 1.5;
/** It is judged over so many pairs, because sentences may come in bursts. */
const RATE_PAIRS = 20;
/** Crystals drift by tens of ppm, ceramic resonators by up to 5000; a slope of several times that is no drift. */
const MAX_DRIFT = 0.02;

/**
 * Fits the clock of one run. `tick_us` and `utc_s` are the fixes' columns; rows with NaN in either are skipped.
 * Fails with `no_time` when no pair is left, with `wrong_tick_unit` when the counter does not count microseconds.
 */
export function estimateClock(
  tick_us: Float64Array,
  utc_s: Float64Array,
  source: string,
): Result<ClockSolution> {
  const { x_s, y_s, firstTick_us, firstUtc_s } = pairsOf(tick_us, utc_s);
  if (x_s.length === 0) return failure(noTime(source));
  const rate = counterRate(x_s, y_s);
  if (rate > MOST_RATE || rate < 1 / MOST_RATE) return failure(wrongTickUnit(source, rate));
  const { starts, keep, outliers } = splitAtLeaps(y_s);

  const pieces: ClockPiece[] = [];
  const delays: number[] = [];
  let longest = -1;
  let drift_ppm = 0;
  for (let p = 0; p < starts.length; p++) {
    const end = p + 1 < starts.length ? starts[p + 1] : x_s.length;
    const rows: number[] = [];
    for (let i = starts[p]; i < end; i++) if (keep[i]) rows.push(i);
    if (rows.length === 0) continue;
    const line = envelope(x_s, y_s, rows);
    const from_s = pieceStart(x_s, y_s, starts[p]);
    pieces.push({
      from_tick_us: firstTick_us + from_s * 1e6,
      utc_s: firstUtc_s + from_s + line.at(from_s),
      drift: line.slope,
    });
    for (const i of rows) delays.push(line.at(x_s[i]) - y_s[i]);
    const span_s = x_s[rows[rows.length - 1]] - x_s[rows[0]];
    if (span_s > longest) {
      longest = span_s;
      drift_ppm = line.slope * 1e6;
    }
  }
  const solution: ClockSolution = {
    pieces,
    pairs: delays.length,
    outliers,
    median_delay_s: median(delays),
    drift_ppm,
  };
  return success(solution, noticesOf(solution, source));
}

/** Counter → Unix seconds, written into a column, which is returned; `origin_s` is subtracted so that no digits are lost later. */
export function timeFromTick(
  solution: ClockSolution,
  tick_us: Float64Array,
  origin_s: number,
  t_s = new Float64Array(tick_us.length),
): Float64Array {
  const { pieces } = solution;
  let p = 0;
  for (let i = 0; i < tick_us.length; i++) {
    while (p + 1 < pieces.length && tick_us[i] >= pieces[p + 1].from_tick_us) p++;
    while (p > 0 && tick_us[i] < pieces[p].from_tick_us) p--;
    const piece = pieces[p];
    const elapsed_s = (tick_us[i] - piece.from_tick_us) * 1e-6;
    t_s[i] = piece.utc_s - origin_s + elapsed_s * (1 + piece.drift);
  }
  return t_s;
}

/** A clock from one known moment, for a beam file whose fixes do not share its counter. */
export function clockFromAnchor(tick_us: number, utc_s: number, drift = 0): ClockSolution {
  return {
    pieces: [{ from_tick_us: tick_us, utc_s, drift }],
    pairs: 0,
    outliers: 0,
    median_delay_s: 0,
    drift_ppm: drift * 1e6,
  };
}

/**
 * Where on the counter a piece begins: at its first pair, less the time that UTC says has passed since the pair before. When
 * the counter leapt (a restart that looked like a wrap), what was logged between the restart and the first fix after it
 * then falls into the new piece.
 */
function pieceStart(x_s: readonly number[], y_s: readonly number[], first: number): number {
  if (first === 0) return x_s[0];
  const counter_s = x_s[first] - x_s[first - 1];
  const utc_s = counter_s + y_s[first] - y_s[first - 1];
  return x_s[first] - Math.max(0, Math.min(counter_s, utc_s)) * (1 - 1e-9);
}

/** Pairs relative to the first one, so that no sum sees 1.7e9. */
function pairsOf(tick_us: Float64Array, utc_s: Float64Array) {
  const x: number[] = [];
  const y: number[] = [];
  let firstTick_us = Number.NaN;
  let firstUtc_s = Number.NaN;
  for (let i = 0; i < tick_us.length; i++) {
    if (Number.isNaN(tick_us[i]) || Number.isNaN(utc_s[i])) continue;
    if (Number.isNaN(firstTick_us)) {
      firstTick_us = tick_us[i];
      firstUtc_s = utc_s[i];
    }
    const elapsed_s = (tick_us[i] - firstTick_us) * 1e-6;
    x.push(elapsed_s);
    y.push(utc_s[i] - firstUtc_s - elapsed_s);
  }
  return { x_s: x, y_s: y, firstTick_us, firstUtc_s };
}

/** Seconds of the counter per second of UTC, the median over stretches of `RATE_PAIRS` pairs; NaN when there are too few. */
function counterRate(x_s: readonly number[], y_s: readonly number[]): number {
  const rates: number[] = [];
  for (let i = RATE_PAIRS; i < x_s.length; i++) {
    const counter_s = x_s[i] - x_s[i - RATE_PAIRS];
    const utc_s = counter_s + y_s[i] - y_s[i - RATE_PAIRS];
    if (utc_s > 0) rates.push(counter_s / utc_s);
  }
  return rates.length < RATE_PAIRS ? Number.NaN : median(rates);
}

/** Pieces between leaps, and the pairs that belong to none. */
function splitAtLeaps(y_s: readonly number[]) {
  const keep = new Uint8Array(y_s.length);
  const starts = [0];
  let level_s = firstLevel(y_s);
  let outliers = 0;
  let pending: number[] = [];
  for (let i = 0; i < y_s.length; i++) {
    if (Math.abs(y_s[i] - level_s) <= LEAP_S) {
      keep[i] = 1;
      // follows the drift slowly; a late sentence must not drag it
      level_s += Math.max(-0.05, Math.min(0.05, y_s[i] - level_s)) * 0.2;
      outliers += pending.length;
      pending = [];
      continue;
    }
    if (pending.length > 0 && Math.abs(y_s[i] - y_s[pending[0]]) > LEAP_S) {
      outliers += pending.length;
      pending = [];
    }
    pending.push(i);
    if (pending.length >= LEAP_PAIRS) {
      starts.push(pending[0]);
      for (const row of pending) keep[row] = 1;
      level_s = y_s[i];
      pending = [];
    }
  }
  return { starts, keep, outliers: outliers + pending.length };
}

/**
 * Median of the first pairs: a single bad one at the start must not set the level. Of an even number the lower middle, not
 * the mean of two: the level is then that of a pair, so that at least that one is kept, however much they disagree.
 */
function firstLevel(y_s: readonly number[]): number {
  const first = y_s.slice(0, 9).sort((a, b) => a - b);
  return first[(first.length - 1) >> 1];
}

/** Upper envelope line of the rows (ascending x). */
function envelope(x_s: readonly number[], y_s: readonly number[], rows: readonly number[]) {
  const first_s = x_s[rows[0]];
  const span_s = x_s[rows[rows.length - 1]] - first_s;
  let slope = 0;
  if (span_s >= DRIFT_SPAN_S) {
    const hull = upperHull(x_s, y_s, rows);
    let mean_s = 0;
    for (const i of rows) mean_s += x_s[i] - first_s;
    mean_s = mean_s / rows.length + first_s;
    let k = 1;
    while (k < hull.length - 1 && x_s[hull[k]] < mean_s) k++;
    const dx = x_s[hull[k]] - x_s[hull[k - 1]];
    const candidate = dx > 0 ? (y_s[hull[k]] - y_s[hull[k - 1]]) / dx : 0;
    if (Math.abs(candidate) <= MAX_DRIFT) slope = candidate;
  }
  let intercept = Number.NEGATIVE_INFINITY;
  for (const i of rows) intercept = Math.max(intercept, y_s[i] - slope * x_s[i]);
  return { slope, at: (x: number) => intercept + slope * x };
}

/** Andrew's monotone chain, upper half. */
function upperHull(x: readonly number[], y: readonly number[], rows: readonly number[]): number[] {
  const hull: number[] = [];
  for (const i of rows) {
    while (hull.length >= 2) {
      const a = hull[hull.length - 2];
      const b = hull[hull.length - 1];
      const turn = (x[b] - x[a]) * (y[i] - y[a]) - (y[b] - y[a]) * (x[i] - x[a]);
      if (turn < 0) break;
      hull.pop();
    }
    hull.push(i);
  }
  return hull;
}

function noTime(source: string): DataError {
  return {
    code: 'no_time',
    source,
    text: `${source}: no GPS sentence in it carries both a date and a time, so the beam cannot be laid on the clock. Check that the receiver sends RMC or ZDA sentences and had a fix.`,
  };
}

function wrongTickUnit(source: string, rate: number): DataError {
  const times = Number((rate > 1 ? rate : 1 / rate).toPrecision(2));
  return {
    code: 'wrong_tick_unit',
    source,
    text: `${source}: its counter runs ${times} times too ${rate > 1 ? 'fast' : 'slowly'} against GPS time, so it does not count microseconds. Let the logger write microseconds, or multiply its first column accordingly.`,
  };
}

function noticesOf(solution: ClockSolution, source: string): Notice[] {
  const notices: Notice[] = [];
  const leaps = solution.pieces.length - 1;
  if (leaps > 0) {
    notices.push({
      code: 'clock_leap',
      severity: 'info',
      source,
      count: leaps,
      text: `${source}: the receiver's time jumped ${leaps} time${leaps === 1 ? '' : 's'}; each stretch was laid on the clock for itself.`,
    });
  }
  if (Math.abs(solution.drift_ppm) > MOST_DRIFT_PPM) {
    notices.push({
      code: 'clock_drift',
      severity: 'look',
      source,
      count: 1,
      text: `${source}: the logger's clock drifts by ${solution.drift_ppm.toFixed(0)} parts per million, more than a crystal should; it was corrected, but the logger wants a look.`,
    });
  }
  return notices;
}
