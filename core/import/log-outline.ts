/** A log file as planning sees it: one shape for tick logs, tally logs and flow logs. */
import type { FileInspection } from './file-inspection.ts';
import type { CounterSpan } from './run-outline.ts';
import { isHarvesting, joinSamples, type TrackSamples } from './track-samples.ts';

/** One stretch of a log: a run of a tick log, or all rows of another. */
export interface LogStretch {
  readonly first_utc_s: number;
  readonly last_utc_s: number;
  readonly counter?: CounterSpan;
  /** Rows by kind, 0 for what is not there. */
  readonly edges: number;
  readonly fixes: number;
  readonly moisture: number;
  readonly header: number;
  readonly tilt: number;
  /** Rows of tally and flow logs. */
  readonly rows: number;
  readonly samples: TrackSamples;
}

export interface LogOutline {
  /** Candidate's id or the season's path. */
  readonly id: string;
  readonly kind: 'ticks' | 'tally' | 'flow';
  readonly stretches: readonly LogStretch[];
  readonly first_utc_s: number;
  readonly last_utc_s: number;
  /** Whether the file holds the beam, positions, or both. */
  readonly hasGrain: boolean;
  readonly hasFixes: boolean;
  readonly samples: TrackSamples;
  /** Full cut width that the rows tell, m; NaN when they do not. */
  readonly width_m: number;
  /** Names of fields in its rows. */
  readonly fields: readonly string[];
  readonly heading: string;
}

/** The log in `inspection`; undefined when it holds none that can be read. */
export function logOutline(id: string, inspection: FileInspection): LogOutline | undefined {
  const { content, first_utc_s, last_utc_s, heading } = inspection;
  const about = { id, first_utc_s, last_utc_s, heading };
  if (content.kind === 'runs') {
    const stretches = content.runs.map((run) => ({ ...run, rows: 0 }));
    return {
      ...about,
      kind: 'ticks',
      stretches,
      hasGrain: stretches.some(({ edges }) => edges > 0),
      hasFixes: stretches.some(({ fixes }) => fixes > 0),
      samples: joinSamples(stretches.map(({ samples }) => samples)),
      width_m: Number.NaN,
      fields: [],
    };
  }
  const log = content.kind === 'rows' ? content : content.kind === 'table' ? content.log : undefined;
  if (log === undefined) return undefined;
  const counter = log.counter && { ...log.counter, first_utc_s: Number.NaN, last_utc_s: Number.NaN };
  const stretch: LogStretch = {
    first_utc_s,
    last_utc_s,
    ...(counter ? { counter } : {}),
    edges: 0,
    fixes: 0,
    moisture: 0,
    header: 0,
    tilt: 0,
    rows: log.rows,
    samples: log.samples,
  };
  return {
    ...about,
    kind: content.kind === 'rows' ? 'tally' : 'flow',
    stretches: [stretch],
    hasGrain: true,
    hasFixes: log.samples.utc_s.length > 0,
    samples: log.samples,
    width_m: log.width_m,
    fields: log.fields,
  };
}

/** Whether the machine harvested within `reach_s` of `utc_s`, as far as the log's samples tell. */
export function worksNear({ samples }: LogOutline, utc_s: number, reach_s: number): boolean {
  for (let i = 0; i < samples.utc_s.length; i++) {
    if (
      Math.abs(samples.utc_s[i] - utc_s) <= reach_s &&
      isHarvesting(samples, i) &&
      samples.speed_m_s[i] > 0.3
    )
      return true;
  }
  return false;
}

/** The counter's 32 bits are full after this, s. */
export const WRAP_S = 2 ** 32 / 1e6;
/** Oscillators of loggers drift less than this; more is another counter. */
const DRIFT = 300e-6;
/** What the fits of two pieces of one counter may differ by, s. */
const CLOCK_S = 1.5;
/** Beyond this the drift leaves too much room for chance. */
const LONGEST_S = 3 * 3600;

/** Whether the counters of two stretches are one and the same that ran on, from what both know of UTC. */
export function isSameCounter(a: LogStretch, b: LogStretch): boolean {
  if (a.counter === undefined || b.counter === undefined) return false;
  const apart_s = Math.max(
    a.counter.first_utc_s - b.counter.last_utc_s,
    b.counter.first_utc_s - a.counter.last_utc_s,
    0,
  );
  // an unknown time compares as false throughout
  if (!(apart_s <= LONGEST_S)) return false;
  const tolerance_s = CLOCK_S + DRIFT * Math.abs(a.counter.first_utc_s - b.counter.first_utc_s);
  const zeros_s = zeroOf(a.counter) - zeroOf(b.counter);
  const wraps = Math.round(zeros_s / WRAP_S);
  return Math.abs(zeros_s - wraps * WRAP_S) <= tolerance_s;
}

/** UTC at counter zero. */
function zeroOf({ first_us, first_utc_s }: CounterSpan): number {
  return first_utc_s - first_us * 1e-6;
}

/** Seconds that two stretches share; negative when they are apart, NaN when a time is unknown. */
export function sharedTime(a: LogStretch, b: LogStretch): number {
  return Math.min(a.last_utc_s, b.last_utc_s) - Math.max(a.first_utc_s, b.first_utc_s);
}
