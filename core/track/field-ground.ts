/**
 * Every field's ground: which machine was in it when, its rows, and how much of each row was fresh, over all machines in
 * time order.
 */
import type { Notice } from '../errors.ts';
import type { BoundaryPolygons } from '../read/boundaries.ts';
import type { MachineSheet, SettingsSheet } from '../season.ts';
import type { MachineGrain } from '../signal/grain-of-machine.ts';
import type { MachineRecord } from '../signal/machine-record.ts';
import { antennaNotices } from './antenna-check.ts';
import { cutWidths } from './cut-width.ts';
import { fieldOfFixes, isInside, type Outline, outlineOf } from './field-visits.ts';
import { addedCounts, fixNotices, NO_FIX_COUNTS } from './fix-counts.ts';
import type { GroundRows } from './ground-rows.ts';
import { headerMoves, stuckHeaderNotices } from './header-state.ts';
import { type LocalFrame, localFrame } from './local-frame.ts';
import { planeRings } from './plane-rings.ts';
import { grainEvidence, groundOfRecord } from './record-ground.ts';
import { gathered, inTimeOrder, timeOrder } from './time-order.ts';
import type { Swaths } from './track.ts';

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

export interface FieldGround {
  /** Index into the season's fields. */
  readonly field: number;
  readonly frame: LocalFrame;
  readonly plots: readonly Plot[];
}

export interface GroundSolution {
  /** Fields in which a machine was, in the season's order. */
  readonly fields: readonly FieldGround[];
  readonly notices: readonly Notice[];
}

/** What of a season decides its ground. */
export interface GroundSeason {
  readonly machines: readonly Pick<MachineSheet, 'header' | 'antenna'>[];
  readonly settings?: Pick<SettingsSheet, 'point_interval_s' | 'cut_width'>;
}

/** Rows are no shorter than this where the sheet does not say, s. */
const POINT_INTERVAL_S = 1;
/** No crop grows nearer to a pole, and no field's frame can stand there. */
const MOST_LATITUDE_DEG = 89;

/**
 * Ground of all fields. `grains[r]` may be undefined for a record that needs none (`needsGrain`), `boundaries[f]` is for a
 * field without one.
 */
export function groundOfFields(
  season: GroundSeason,
  records: readonly MachineRecord[],
  grains: readonly (MachineGrain | undefined)[],
  boundaries: readonly (BoundaryPolygons | undefined)[],
): GroundSolution {
  const outlines = boundaries.map((boundary) => (boundary === undefined ? undefined : outlineOf(boundary)));
  const stays = records.map(({ fixes, field_hint }) =>
    rowsByField(fieldOfFixes(fixes, outlines, field_hint), boundaries.length),
  );
  const evidence = records.map((record, r) => grainEvidence(record, grains[r]));
  const point_interval_s = season.settings?.point_interval_s ?? POINT_INTERVAL_S;
  const counts = records.map(() => NO_FIX_COUNTS);
  const fields: FieldGround[] = [];
  for (let f = 0; f < boundaries.length; f++) {
    const frame = frameOf(
      outlines[f],
      records,
      stays.map((rows) => rows[f]),
    );
    if (frame === undefined) continue;
    const bare = records.flatMap((record, r) => {
      const mine = stays[r][f];
      if (mine.length === 0) return [];
      const { rows, counts: found } = groundOfRecord(
        season.machines[record.machine],
        point_interval_s,
        record,
        evidence[r],
        { mine, frame },
      );
      counts[r] = addedCounts(counts[r], found);
      return rows.t0_s.length > 0 ? [{ record: r, rows }] : [];
    });
    if (bare.length === 0) continue;
    fields.push({ field: f, frame, plots: withFreshGround(season, records, bare, frame, outlines[f]) });
  }
  const notices = records.flatMap((record, r) => [
    ...(record.grain.kind === 'flow' ? [] : stuckHeaderNotices(record.header, record.source)),
    ...fixNotices(counts[r], record.source),
  ]);
  notices.push(...antennasOfFields(season, records, fields), ...homelessNotices(records, fields));
  return { fields, notices };
}

/** What the passes of all fields say against the antenna sheets. */
function antennasOfFields(
  season: GroundSeason,
  records: readonly MachineRecord[],
  fields: readonly FieldGround[],
): Notice[] {
  const checked = season.machines.map(({ antenna }, m) => {
    const record = records.find(({ machine }) => machine === m);
    return record === undefined ? undefined : { source: record.source, antenna };
  });
  const passes = fields.map(({ plots }) =>
    plots.map(({ record, rows }) => ({
      machine: records[record].machine,
      rows,
      byHeader: records[record].grain.kind !== 'flow' && headerMoves(records[record].header),
    })),
  );
  return antennaNotices(checked, passes);
}

/** A word on each machine whose grain belongs to no field. */
function homelessNotices(records: readonly MachineRecord[], fields: readonly FieldGround[]): Notice[] {
  const placed = new Set(fields.flatMap(({ plots }) => plots.map(({ record }) => record)));
  return records
    .filter((_, r) => !placed.has(r))
    .map(({ source }) => ({
      code: 'log_in_no_field',
      severity: 'mend',
      source,
      count: 1,
      text: `${source}: it was recorded in no field of this season, so its grain is in no total. Add the field, or name it under "field" in the entry of this log.`,
    }));
}

/** Rows of each field, ascending. */
function rowsByField(fieldOf: Int32Array, fields: number): Int32Array[] {
  const counts = new Int32Array(fields);
  for (const f of fieldOf) if (f >= 0) counts[f]++;
  const rows = Array.from(counts, (count) => new Int32Array(count));
  counts.fill(0);
  for (let i = 0; i < fieldOf.length; i++) if (fieldOf[i] >= 0) rows[fieldOf[i]][counts[fieldOf[i]]++] = i;
  return rows;
}

/** Frame about the boundary's middle, else about the middle of the fixes in the field; undefined when no machine was there. */
function frameOf(
  outline: Outline | undefined,
  records: readonly MachineRecord[],
  mine: readonly Int32Array[],
): LocalFrame | undefined {
  const longitudes: number[] = [];
  const latitudes: number[] = [];
  records.forEach(({ fixes: { longitude_deg, latitude_deg } }, r) => {
    for (const i of mine[r]) {
      const isPlace = Math.abs(longitude_deg[i]) <= 360 && Math.abs(latitude_deg[i]) <= MOST_LATITUDE_DEG;
      if (!isPlace) continue;
      longitudes.push(longitude_deg[i]);
      latitudes.push(latitude_deg[i]);
    }
  });
  if (longitudes.length === 0) return undefined;
  if (outline !== undefined)
    return localFrame((outline.west + outline.east) / 2, (outline.south + outline.north) / 2);
  return localFrame(middleElement(longitudes), middleElement(latitudes));
}

/** Upper median: one of the elements, so that longitudes on both sides of 180° do not average to 0°. */
function middleElement(column: readonly number[]): number {
  return Float64Array.from(column).sort()[column.length >> 1];
}

/** Fresh ground of every row, machines in time order; from the ground or, when asked, as the log says. */
function withFreshGround(
  season: GroundSeason,
  records: readonly MachineRecord[],
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
        slivers: bare.every(({ record }) => records[record].grain.kind === 'flow') ? 'left' : 'filled',
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
function swathsOf(records: readonly MachineRecord[], bare: readonly { record: number; rows: GroundRows }[]) {
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
  records: readonly MachineRecord[],
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
