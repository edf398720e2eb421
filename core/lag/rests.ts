/**
 * Long rests taken out of a plot's time: a field that is cut on several days is a few hours of rows in weeks, and what is
 * sampled evenly over it would be nearly all rest.
 */
import { columnOf, concatenate, lowerBound, pickRows, upperBound } from '../columns.ts';
import type { GrainPassage } from '../signal/grain-passage.ts';
import type { MoistureRecord } from '../signal/machine-record.ts';
import type { CutRecord } from './cut-record.ts';

/** A rest is longer than any lag, and than the memory of any thresher, s. */
const REST_S = 900;
/** What stays of the time before and after the rows, s: more than an estimator looks at. */
const BEFORE_S = 100;
const AFTER_S = 150;
/** Rests are shortened by whole numbers of this, so that rows keep their places on grids of half and quarter seconds. */
const WHOLE_S = 0.5;

/** Rows `from` .. `to` − 1, between which there is no rest; a row that is as long as a rest belongs to none. */
export interface Spell {
  readonly from: number;
  readonly to: number;
}

/** The spells of ascending rows. */
export function spellsBetweenRests(t0_s: Float64Array, t1_s: Float64Array): Spell[] {
  const spells: { from: number; to: number }[] = [];
  let end_s = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < t0_s.length; i++) {
    if (t1_s[i] - t0_s[i] > REST_S) {
      end_s = Number.NEGATIVE_INFINITY;
      continue;
    }
    if (t0_s[i] - end_s > REST_S) spells.push({ from: i, to: i + 1 });
    else spells[spells.length - 1].to = i + 1;
    end_s = t1_s[i];
  }
  return spells;
}

/** What the estimators of lags look at, in the time of the machine. */
export interface PlotInTime {
  readonly record: CutRecord;
  readonly pass: Int32Array;
  readonly passage: GrainPassage;
  readonly moisture: MoistureRecord;
}

/**
 * The plot with its spells moved together, each with the grain and the readings of its own time and a little around it. The
 * first spell keeps its time. Rows as long as a rest are left out.
 */
export function withoutRests({ record, pass, passage, moisture }: PlotInTime): PlotInTime {
  const spells = spellsBetweenRests(record.t0_s, record.t1_s);
  const rows = new Int32Array(spells.reduce((count, { from, to }) => count + to - from, 0));
  const shift_s = new Float64Array(rows.length);
  const pieces: TimePiece[] = [];
  let shifted_s = 0;
  let next = 0;
  for (const { from, to } of spells) {
    const since_s = record.t0_s[from] - BEFORE_S;
    const last = pieces.at(-1);
    if (last !== undefined) shifted_s += Math.floor((since_s - last.until_s) / WHOLE_S) * WHOLE_S;
    pieces.push({ since_s, until_s: record.t1_s[to - 1] + AFTER_S, shift_s: shifted_s });
    for (let row = from; row < to; row++, next++) {
      rows[next] = row;
      shift_s[next] = shifted_s;
    }
  }
  const earlier = (t_s: Float64Array) => columnOf(rows.length, (k) => t_s[rows[k]] - shift_s[k]);
  const grain = piecesOf(passage.t_s, passage.cumulative, pieces);
  const readings = piecesOf(moisture.t_s, moisture.moisture_pct, pieces);
  return {
    record: {
      t0_s: earlier(record.t0_s),
      t1_s: earlier(record.t1_s),
      fresh_area_m2: pickRows(record.fresh_area_m2, rows),
      east_m: pickRows(record.east_m, rows),
      north_m: pickRows(record.north_m, rows),
      heading_rad: pickRows(record.heading_rad, rows),
      width_share: pickRows(record.width_share, rows),
      header_width_m: record.header_width_m,
    },
    pass: pickRows(pass, rows),
    passage: { t_s: grain.t_s, cumulative: concatenate(withoutLeaps(grain.columns)), basis: passage.basis },
    moisture: { t_s: readings.t_s, moisture_pct: concatenate(readings.columns) },
  };
}

/** A stretch of time that stays, and by how much it is brought forward. */
interface TimePiece {
  readonly since_s: number;
  readonly until_s: number;
  readonly shift_s: number;
}

/** What of a column over time lies in the pieces, its times brought forward; columns of their own. */
function piecesOf(t_s: Float64Array, column: Float64Array, pieces: readonly TimePiece[]) {
  const bounds = pieces.map(({ since_s, until_s }) => [lowerBound(t_s, since_s), upperBound(t_s, until_s)]);
  return {
    t_s: concatenate(
      bounds.map(([first, end], p) => {
        const { shift_s } = pieces[p];
        return shift_s === 0 ? t_s.slice(first, end) : columnOf(end - first, (k) => t_s[first + k] - shift_s);
      }),
    ),
    columns: bounds.map(([first, end]) => column.slice(first, end)),
  };
}

/** Running totals one after the other, without what they rose by between two of them. */
function withoutLeaps(totals: readonly Float64Array[]): Float64Array[] {
  let leaps = 0;
  let end: number | undefined;
  return totals.map((total) => {
    if (end !== undefined && total.length > 0) leaps += total[0] - end;
    if (total.length > 0) end = total[total.length - 1];
    const earlier = leaps;
    return earlier === 0 ? total : columnOf(total.length, (k) => total[k] - earlier);
  });
}
