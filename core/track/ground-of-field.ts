/**
 * The ground of one field: the rows of every machine that was in it, and how much of each row was fresh, over all machines
 * in time order. Plain data in and out, so that fields can be worked on side by side.
 */
import type { MachineSheet, SettingsSheet } from '../season.ts';
import type { RoughCutting } from '../signal/grain-of-machine.ts';
import type { EachTask } from '../spread.ts';
import { type AntennaEvidence, antennaEvidence } from './antenna-evidence.ts';
import { cutWidths } from './cut-width.ts';
import { isInside, type Outline } from './field-visits.ts';
import type { FixCounts } from './fix-counts.ts';
import type { GroundRows } from './ground-rows.ts';
import { headerMoves } from './header-state.ts';
import { type LocalFrame, localFrame } from './local-frame.ts';
import { planeRings } from './plane-rings.ts';
import { type GroundRecord, groundOfRecord } from './record-ground.ts';
import { gathered, inTimeOrder, timeOrder } from './time-order.ts';
import type { Swaths, TimedFixes } from './track.ts';

/** One machine's ground in one field. */
export interface Plot {
  /** Index into the records. */
  readonly record: number;
  readonly rows: GroundRows;
  /** Mean fresh width of each row and the fresh ground in it. */
  readonly cut_width_m: Float64Array;
  readonly fresh_area_m2: Float64Array;
  /** 1 where the middle of the row lies outside the field's boundary. */
  readonly outside: Uint8Array;
  /** Middle of each row. */
  readonly longitude_deg: Float64Array;
  readonly latitude_deg: Float64Array;
}

/** What of a season decides its ground. */
export interface GroundSeason {
  readonly machines: readonly Pick<MachineSheet, 'header' | 'antenna'>[];
  readonly settings?: Pick<SettingsSheet, 'point_interval_s' | 'cut_width'>;
}

/** What all fields have in common. */
export interface GroundCommon {
  readonly season: GroundSeason;
  readonly records: readonly (Omit<GroundRecord, 'fixes'> & { readonly machine: number })[];
}

/** One machine's stay in the field. */
export interface Stay {
  /** Index into the records. */
  readonly record: number;
  /** The record's fixes from its first to its last in the field. */
  readonly fixes: TimedFixes;
  /** Which of them, or of the rows of a flow log, lie in the field, ascending. */
  readonly mine: Int32Array;
  /** Where only the grain can tell when the machine was cutting. */
  readonly grain: RoughCutting | undefined;
}

export interface FieldStays {
  /** Longitude and latitude of the field's frame, degrees. */
  readonly origin_deg: readonly [number, number];
  readonly outline: Outline | undefined;
  readonly stays: readonly Stay[];
}

export interface GroundOfField {
  /** Of the stays that have any rows. */
  readonly plots: readonly Plot[];
  /** By stay. */
  readonly counts: readonly FixCounts[];
  readonly antennas: AntennaEvidence;
}

/** Rows are no shorter than this where the sheet does not say, s. */
const POINT_INTERVAL_S = 1;

export const GROUND_OF_FIELD: EachTask<GroundCommon, FieldStays, GroundOfField> = {
  name: 'ground of a field',
  run: ({ season, records }, { origin_deg, outline, stays }) => {
    const frame = localFrame(...origin_deg);
    const point_interval_s = season.settings?.point_interval_s ?? POINT_INTERVAL_S;
    const found = stays.map(({ record, fixes, mine, grain }) => ({
      record,
      ...groundOfRecord(
        season.machines[records[record].machine],
        point_interval_s,
        { ...records[record], fixes },
        grain,
        { mine, frame },
      ),
    }));
    const bare = found.filter(({ rows }) => rows.t0_s.length > 0);
    return {
      plots: bare.length === 0 ? [] : withFreshGround(season, records, bare, frame, outline),
      counts: found.map(({ counts }) => counts),
      antennas: antennaEvidence(
        bare.map(({ record, rows }) => {
          const { machine, header, flow } = records[record];
          return { machine, rows, byHeader: flow === undefined && headerMoves(header) };
        }),
      ),
    };
  },
};

/** Fresh ground of every row, machines in time order; from the ground or, when asked, as the log says. */
function withFreshGround(
  season: GroundSeason,
  records: GroundCommon['records'],
  bare: readonly { record: number; rows: GroundRows }[],
  frame: LocalFrame,
  outline: Outline | undefined,
): Plot[] {
  const asLogged = season.settings?.cut_width?.from === 'log';
  const { swaths, order } = swathsOf(records, bare);
  const solution = asLogged
    ? undefined
    : cutWidths(swaths, {
        whole_rows: wholeRows(season, records, bare),
        boundary: outline === undefined ? undefined : planeRings(outline.rings, frame),
        // swaths that another program made are taken at their word
        slivers: bare.every(({ record }) => records[record].flow !== undefined) ? 'left' : 'filled',
      });
  const plots = bare.map(({ record, rows }) => {
    const n = rows.t0_s.length;
    const middle = frame.toGeographic(
      rows.east0_m.map((e, i) => (e + rows.east1_m[i]) / 2),
      rows.north0_m.map((m, i) => (m + rows.north1_m[i]) / 2),
    );
    const outside = new Uint8Array(n);
    for (let i = 0; i < n && outline !== undefined; i++) {
      outside[i] = isInside(outline, middle.longitude_deg[i], middle.latitude_deg[i]) ? 0 : 1;
    }
    return {
      record,
      rows,
      cut_width_m: new Float64Array(n),
      fresh_area_m2: new Float64Array(n),
      outside,
      ...middle,
    };
  });
  for (let k = 0; k < order.row.length; k++) {
    const row = order.row[k];
    const { rows, cut_width_m, fresh_area_m2 } = plots[order.part[k]];
    if (solution !== undefined) {
      cut_width_m[row] = solution.cut_width_m[k];
      fresh_area_m2[row] = solution.fresh_area_m2[k];
    } else if (rows.pass[row] >= 0) {
      cut_width_m[row] = rows.header_width_m[row];
      fresh_area_m2[row] = rows.header_width_m[row] * rows.distance_m[row];
    }
  }
  return plots;
}

/** Rows of all machines in time order as swaths, with where each came from. */
function swathsOf(records: GroundCommon['records'], bare: readonly { record: number; rows: GroundRows }[]) {
  const order = timeOrder(bare.map(({ rows }) => rows.t0_s));
  const column = (name: Exclude<keyof GroundRows, 'pass' | 'no_fix'>) =>
    inTimeOrder(
      order,
      bare.map(({ rows }) => rows[name]),
    );
  const swaths: Swaths = {
    t0_s: column('t0_s'),
    t1_s: column('t1_s'),
    machine: order.part.map((p) => records[bare[p].record].machine),
    pass: gathered(
      order,
      bare.map(({ rows }) => rows.pass),
      new Int32Array(order.row.length),
    ),
    east0_m: column('east0_m'),
    north0_m: column('north0_m'),
    heading0_rad: column('heading0_rad'),
    east1_m: column('east1_m'),
    north1_m: column('north1_m'),
    heading1_rad: column('heading1_rad'),
    header_width_m: column('header_width_m'),
    position_se_m: column('position_se_m'),
  };
  return { swaths, order };
}

/** Rows on each machine's header, where whole rows are wanted and known. */
function wholeRows(
  season: GroundSeason,
  records: GroundCommon['records'],
  bare: readonly { record: number }[],
): ReadonlyMap<number, number> | undefined {
  if (season.settings?.cut_width?.whole_rows !== true) return undefined;
  const rows = new Map<number, number>();
  for (const { record } of bare) {
    const { machine } = records[record];
    const count = season.machines[machine].header.rows;
    if (count !== undefined) rows.set(machine, count);
  }
  return rows;
}
