/** One machine's record in one field → its rows of ground, by whatever the record holds. */
import { pickRows } from '../columns.ts';
import type { MachineSheet } from '../season.ts';
import {
  type MachineGrain,
  mayHaveCut,
  type RoughCutting,
  roughCutting,
} from '../signal/grain-of-machine.ts';
import type { FlowRecords, MachineRecord } from '../signal/machine-record.ts';
import { type FixCounts, NO_FIX_COUNTS } from './fix-counts.ts';
import { groundFromRecords } from './ground-from-records.ts';
import { groundFromTrack } from './ground-from-track.ts';
import type { GroundRows } from './ground-rows.ts';
import { type HeaderSwitch, headerMoves } from './header-state.ts';
import type { LocalFrame } from './local-frame.ts';
import { smoothTrack } from './smooth.ts';
import type { TimedFixes } from './track.ts';

/** Where the record was in this field. */
export interface FieldStay {
  /** Rows of the fixes in this field, ascending; where they do not follow each other the machine was elsewhere. */
  readonly mine: Int32Array;
  readonly frame: LocalFrame;
}

/** Whether only the grain can tell where a record was cutting: no flow log, and no header switch that was ever seen to move. */
export function needsGrain(record: MachineRecord): boolean {
  return record.grain.kind !== 'flow' && !headerMoves(record.header);
}

/** Evidence of grain where it is needed. */
export function grainEvidence(
  record: MachineRecord,
  grain: MachineGrain | undefined,
): RoughCutting | undefined {
  if (!needsGrain(record)) return undefined;
  if (grain === undefined) throw new RangeError(`No grain was given for ${record.source}.`);
  return roughCutting(grain);
}

/** What a record says of the ground. */
export interface GroundRecord {
  readonly fixes: TimedFixes;
  readonly header: HeaderSwitch;
  /** Rows of a log that carries a flow; it has no use for the others. */
  readonly flow: FlowRecords | undefined;
}

/** Flow logs row by row as they are; beam and tally logs along the smoothed track, visit by visit. */
export function groundOfRecord(
  { header, antenna }: Pick<MachineSheet, 'header' | 'antenna'>,
  point_interval_s: number,
  { fixes, header: headerSwitch, flow }: GroundRecord,
  grain: RoughCutting | undefined,
  { mine, frame }: FieldStay,
): { rows: GroundRows; counts: FixCounts } {
  if (flow !== undefined) {
    const { columns } = flow;
    const rows = groundFromRecords({
      records: flow,
      rows: mine,
      ...frame.toPlane(pickRows(columns.longitude_deg, mine), pickRows(columns.latitude_deg, mine)),
      antenna,
      header_width_m: header.width_m,
    });
    return { rows, counts: NO_FIX_COUNTS };
  }
  const { track, counts } = smoothTrack(pickFixes(fixes, mine), frame);
  const rows = groundFromTrack({
    track,
    visits: visitsOf(track.t_s, fixes.t_s, mine),
    header: headerSwitch,
    grainComes: grain === undefined ? undefined : (from_s, to_s) => mayHaveCut(grain, from_s, to_s),
    antenna,
    header_width_m: header.width_m,
    point_interval_s,
  });
  return { rows, counts };
}

function pickFixes(fixes: TimedFixes, rows: Int32Array): TimedFixes {
  return {
    t_s: pickRows(fixes.t_s, rows),
    latitude_deg: pickRows(fixes.latitude_deg, rows),
    longitude_deg: pickRows(fixes.longitude_deg, rows),
    altitude_m: pickRows(fixes.altitude_m, rows),
    speed_m_s: pickRows(fixes.speed_m_s, rows),
    course_deg: pickRows(fixes.course_deg, rows),
    quality: pickRows(fixes.quality, rows),
    satellites: pickRows(fixes.satellites, rows),
    hdop: pickRows(fixes.hdop, rows),
  };
}

/**
 * Stretches of the track in the field, [first, last] in time, between which the machine was elsewhere. The track's rows are
 * those of the field's fixes that are usable, in the same order; the others have times that cannot be believed.
 */
function visitsOf(track_t_s: Float64Array, fix_t_s: Float64Array, mine: Int32Array) {
  const visits: { from_s: number; to_s: number }[] = [];
  let row = 0;
  let away = true;
  for (let k = 0; k < mine.length && row < track_t_s.length; k++) {
    if (k > 0 && mine[k] > mine[k - 1] + 1) away = true;
    const t_s = fix_t_s[mine[k]];
    if (t_s !== track_t_s[row]) continue;
    if (away) visits.push({ from_s: t_s, to_s: t_s });
    else visits[visits.length - 1].to_s = t_s;
    away = false;
    row++;
  }
  return visits;
}
