/** Points that somebody left out by hand: by place, by time, or both. */
import { timeFromIso } from '../read/utc.ts';
import type { Exclusion } from '../season.ts';
import { isInside, type Outline, outlineOf } from '../track/field-visits.ts';

/** What an exclusion can be about; one row a point. */
export interface ExcludablePoints {
  readonly field: string;
  /** Index into the season's machines. */
  readonly machine: Int32Array;
  /** Seconds from the season's epoch. */
  readonly t_s: Float64Array;
  readonly longitude_deg: Float64Array;
  readonly latitude_deg: Float64Array;
}

/** How the season tells its machines and its time. */
export interface ExclusionFrame {
  readonly machines: readonly string[];
  readonly epoch_utc_s: number;
}

/** 1 for every point that meets all that some exclusion says. Both ends of a time span belong to it. */
export function excludedByHand(
  points: ExcludablePoints,
  exclusions: readonly Exclusion[],
  frame: ExclusionFrame,
): Uint8Array {
  const excluded = new Uint8Array(points.t_s.length);
  for (const exclusion of exclusions) {
    if (exclusion.field !== undefined && exclusion.field !== points.field) continue;
    const meets = conditionOf(points, exclusion, frame);
    for (let i = 0; i < excluded.length; i++) if (excluded[i] === 0 && meets(i)) excluded[i] = 1;
  }
  return excluded;
}

function conditionOf(
  { machine, t_s, longitude_deg, latitude_deg }: ExcludablePoints,
  exclusion: Exclusion,
  frame: ExclusionFrame,
): (row: number) => boolean {
  const only = exclusion.machine === undefined ? undefined : frame.machines.indexOf(exclusion.machine);
  const from_s = momentOf(exclusion.from, frame) ?? Number.NEGATIVE_INFINITY;
  const to_s = momentOf(exclusion.to, frame) ?? Number.POSITIVE_INFINITY;
  const ground = exclusion.around === undefined ? undefined : outlineOfCorners(exclusion.around);
  return (i) =>
    (only === undefined || machine[i] === only) &&
    t_s[i] >= from_s &&
    t_s[i] <= to_s &&
    (ground === undefined || isInside(ground, longitude_deg[i], latitude_deg[i]));
}

function momentOf(iso: string | undefined, { epoch_utc_s }: ExclusionFrame): number | undefined {
  if (iso === undefined) return undefined;
  const time = timeFromIso(iso);
  if (time === undefined) throw new RangeError(`"${iso}" is no moment`);
  return time.utc_s - epoch_utc_s;
}

function outlineOfCorners(corners: readonly (readonly [number, number])[]): Outline {
  const ring = Float64Array.from([...corners, corners[0]].flat());
  return outlineOf({ source: 'exclusion', polygons: [[ring]] });
}
