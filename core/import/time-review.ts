/** What the files of one machine leave out of its time, and what they tell twice. */
import type { FileSpan } from './import-plan.ts';
import { type LogOutline, worksNear } from './log-outline.ts';
import { byTime } from './logger-chains.ts';

/** Shorter silences are the change of a file, or a restart of the logger, s. */
const GAP_S = 120;
/** Longer ones are a night, a rainy day, a move to another farm, s. */
const PAUSE_S = 4 * 3600;
/** Work so shortly before and after a gap means work in between, s. */
const NEAR_S = 120;
/** Shorter overlaps are the last lines of one file and the first of the next, s. */
const OVERLAP_S = 5;

export interface TimeReview {
  readonly gaps: readonly FileSpan[];
  readonly overlaps: readonly FileSpan[];
}

/** Gaps during work and overlaps between the files of one machine that hold the same kind of lines. */
export function reviewTimes(machine: string, logs: readonly LogOutline[]): TimeReview {
  const withGrain = logs.filter(({ hasGrain }) => hasGrain);
  const fixesOnly = logs.filter(({ hasGrain, hasFixes }) => hasFixes && !hasGrain);
  const parts = [withGrain, fixesOnly].map((part) => reviewOf(machine, part));
  return {
    gaps: parts.flatMap(({ gaps }) => gaps),
    overlaps: parts.flatMap(({ overlaps }) => overlaps),
  };
}

function reviewOf(machine: string, logs: readonly LogOutline[]): TimeReview {
  const gaps: FileSpan[] = [];
  const overlaps: FileSpan[] = [];
  const known = logs.filter(({ first_utc_s, last_utc_s }) => first_utc_s <= last_utc_s).sort(byTime);
  let latest = known[0];
  for (const log of known.slice(1)) {
    const silent_s = log.first_utc_s - latest.last_utc_s;
    const files = [latest.id, log.id] as const;
    if (silent_s < -OVERLAP_S) {
      const to_utc_s = Math.min(latest.last_utc_s, log.last_utc_s);
      overlaps.push({ machine, from_utc_s: log.first_utc_s, to_utc_s, files });
    } else if (silent_s > GAP_S && silent_s < PAUSE_S) {
      const worked = worksNear(latest, latest.last_utc_s, NEAR_S) && worksNear(log, log.first_utc_s, NEAR_S);
      if (worked) gaps.push({ machine, from_utc_s: latest.last_utc_s, to_utc_s: log.first_utc_s, files });
    }
    if (log.last_utc_s > latest.last_utc_s) latest = log;
  }
  return { gaps, overlaps };
}
