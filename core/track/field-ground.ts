/**
 * Every field's ground: which machine was in it when, its rows, and how much of each row was fresh, over all machines in
 * time order.
 */
import type { Notice } from '../errors.ts';
import type { BoundaryPolygons } from '../read/boundaries.ts';
import { cuttingWithin, type MachineGrain, type RoughCutting } from '../signal/grain-of-machine.ts';
import type { MachineRecord } from '../signal/machine-record.ts';
import { oneByOne, type Spread } from '../spread.ts';
import { antennaNotices, type CheckedAntenna } from './antenna-check.ts';
import { fieldOfFixes, type Outline, outlineOf } from './field-visits.ts';
import { addedCounts, fixNotices, NO_FIX_COUNTS } from './fix-counts.ts';
import {
  type FieldStays,
  GROUND_OF_FIELD,
  type GroundSeason,
  type Plot,
  type Stay,
} from './ground-of-field.ts';
import { stuckHeaderNotices } from './header-state.ts';
import { type LocalFrame, localFrame } from './local-frame.ts';
import { grainEvidence } from './record-ground.ts';
import type { TimedFixes } from './track.ts';

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
  spread: Spread = oneByOne,
): GroundSolution {
  const outlines = boundaries.map((boundary) => (boundary === undefined ? undefined : outlineOf(boundary)));
  const stays = records.map(({ fixes, field_hint }) =>
    rowsByField(fieldOfFixes(fixes, outlines, field_hint), boundaries.length),
  );
  const evidence = records.map((record, r) => grainEvidence(record, grains[r]));
  const visited =
    stays.length === 0
      ? []
      : boundaries.flatMap((_, field) => {
          const mine = stays.map((rows) => rows[field]);
          const origin_deg = originOf(outlines[field], records, mine);
          if (origin_deg === undefined) return [];
          return [{ field, origin_deg, by: [...mine.keys()].filter((r) => mine[r].length > 0) }];
        });
  const givens = visited.map(
    ({ field, origin_deg, by }) =>
      (): FieldStays => ({
        origin_deg,
        outline: outlines[field],
        stays: by.map((r) => stayOf(records[r], r, stays[r][field], evidence[r])),
      }),
  );
  const common = {
    season: { machines: season.machines, settings: season.settings },
    records: records.map(({ machine, header, grain }) => ({
      machine,
      header,
      flow: grain.kind === 'flow' ? grain.records : undefined,
    })),
  };
  const made = spread(GROUND_OF_FIELD, common, givens);
  const counts = records.map((_, r) =>
    visited
      .flatMap(({ by }, k) => made[k].counts.filter((_, s) => by[s] === r))
      .reduce(addedCounts, NO_FIX_COUNTS),
  );
  const fields = visited.flatMap(({ field, origin_deg }, k) =>
    made[k].plots.length === 0 ? [] : [{ field, frame: localFrame(...origin_deg), plots: made[k].plots }],
  );
  const notices = records.flatMap((record, r) => [
    ...(record.grain.kind === 'flow' ? [] : stuckHeaderNotices(record.header, record.source)),
    ...fixNotices(counts[r], record.source),
  ]);
  const antennas = made.map((field) => field.antennas);
  notices.push(
    ...antennaNotices(checkedAntennas(season, records), antennas),
    ...homelessNotices(records, fields),
  );
  return { fields, notices };
}

/** The antenna sheet of each machine that has a log. */
function checkedAntennas(
  season: GroundSeason,
  records: readonly MachineRecord[],
): readonly (CheckedAntenna | undefined)[] {
  return season.machines.map(({ antenna }, m) => {
    const record = records.find(({ machine }) => machine === m);
    return record === undefined ? undefined : { source: record.source, antenna };
  });
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

const NOTHING = new Float64Array();
const NO_FIXES: TimedFixes = {
  t_s: NOTHING,
  latitude_deg: NOTHING,
  longitude_deg: NOTHING,
  altitude_m: NOTHING,
  speed_m_s: NOTHING,
  course_deg: NOTHING,
  quality: NOTHING,
  satellites: NOTHING,
  hdop: NOTHING,
};

/** What of a record belongs to its stay in a field, in columns of its own. */
function stayOf(
  record: MachineRecord,
  r: number,
  mine: Int32Array,
  evidence: RoughCutting | undefined,
): Stay {
  if (record.grain.kind === 'flow') return { record: r, fixes: NO_FIXES, mine, grain: undefined };
  const first = mine[0];
  const end = mine[mine.length - 1] + 1;
  const { t_s } = record.fixes;
  return {
    record: r,
    fixes: slicedFixes(record.fixes, first, end),
    mine: mine.map((row) => row - first),
    grain: evidence === undefined ? undefined : cuttingWithin(evidence, t_s[first], t_s[end - 1]),
  };
}

function slicedFixes(fixes: TimedFixes, first: number, end: number): TimedFixes {
  return {
    t_s: fixes.t_s.slice(first, end),
    latitude_deg: fixes.latitude_deg.slice(first, end),
    longitude_deg: fixes.longitude_deg.slice(first, end),
    altitude_m: fixes.altitude_m.slice(first, end),
    speed_m_s: fixes.speed_m_s.slice(first, end),
    course_deg: fixes.course_deg.slice(first, end),
    quality: fixes.quality.slice(first, end),
    satellites: fixes.satellites.slice(first, end),
    hdop: fixes.hdop.slice(first, end),
  };
}

/** Origin of the frame: longitude and latitude of the boundary's middle, else of the middle of the fixes in the field; undefined when no machine was there. */
function originOf(
  outline: Outline | undefined,
  records: readonly MachineRecord[],
  mine: readonly Int32Array[],
): readonly [number, number] | undefined {
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
  if (outline !== undefined) return [(outline.west + outline.east) / 2, (outline.south + outline.north) / 2];
  return [middleElement(longitudes), middleElement(latitudes)];
}

/** Upper median: one of the elements, so that longitudes on both sides of 180° do not average to 0°. */
function middleElement(column: readonly number[]): number {
  return Float64Array.from(column).sort()[column.length >> 1];
}
