/** Log outlines for tests of planning: a machine that drives passes, seen as an import sees it. */
import type { LogOutline, LogStretch } from '../../../core/import/log-outline.ts';
import type { TrackSamples } from '../../../core/import/track-samples.ts';
import { localFrame } from '../../../core/track/local-frame.ts';

export const LONGITUDE = -94.2;
export const LATITUDE = 42.3;

export interface MadeField {
  /** Middle of the field from the origin, m. */
  readonly east_m: number;
  readonly north_m: number;
  readonly width_m?: number;
  readonly length_m?: number;
  readonly pass_m?: number;
}

/** Samples every three seconds up and down a field at 2 m/s. */
export function fieldSamples(start_utc_s: number, field: MadeField): TrackSamples {
  const { east_m, north_m, width_m = 180, length_m = 240, pass_m = 9 } = field;
  const points: [number, number][] = [];
  for (let pass = 0; pass * pass_m <= width_m; pass++) {
    for (let along = 0; along <= length_m; along += 6) {
      const north = pass % 2 === 0 ? along : length_m - along;
      points.push([east_m - width_m / 2 + pass * pass_m, north_m - length_m / 2 + north]);
    }
  }
  return samplesAlong(start_utc_s, points, 2, 1);
}

/** Samples on a straight way, at road speed when `working` is NaN. */
export function roadSamples(
  start_utc_s: number,
  from: readonly [number, number],
  to: readonly [number, number],
  speed_m_s: number,
): TrackSamples {
  const way_m = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const points: [number, number][] = [];
  for (let gone = 0; gone <= way_m; gone += 3 * speed_m_s) {
    const share = gone / way_m;
    points.push([from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])]);
  }
  return samplesAlong(start_utc_s, points, speed_m_s, Number.NaN);
}

function samplesAlong(
  start_utc_s: number,
  points: readonly (readonly [number, number])[],
  speed_m_s: number,
  working: number,
): TrackSamples {
  const frame = localFrame(LONGITUDE, LATITUDE);
  const { longitude_deg, latitude_deg } = frame.toGeographic(
    points.map(([east]) => east),
    points.map(([, north]) => north),
  );
  return {
    utc_s: Float64Array.from(points, (_, i) => start_utc_s + 3 * i),
    longitude_deg,
    latitude_deg,
    speed_m_s: new Float64Array(points.length).fill(speed_m_s),
    working: new Float64Array(points.length).fill(working),
  };
}

export const NO_SAMPLES: TrackSamples = {
  utc_s: new Float64Array(),
  longitude_deg: new Float64Array(),
  latitude_deg: new Float64Array(),
  speed_m_s: new Float64Array(),
  working: new Float64Array(),
};

export function stretch(patch: Partial<LogStretch>): LogStretch {
  return {
    first_utc_s: Number.NaN,
    last_utc_s: Number.NaN,
    edges: 0,
    fixes: 0,
    moisture: 0,
    header: 0,
    tilt: 0,
    rows: 0,
    samples: NO_SAMPLES,
    ...patch,
  };
}

/** A tick log of one run: beam and fixes from `start_us` of a counter on. */
export function tickLog(
  id: string,
  samples: TrackSamples,
  start_us: number,
  patch: Partial<LogStretch> = {},
): LogOutline {
  const first_utc_s = samples.utc_s[0];
  const last_utc_s = samples.utc_s[samples.utc_s.length - 1];
  const last_us = start_us + (last_utc_s - first_utc_s) * 1e6;
  const counter = { first_us: start_us, last_us, first_utc_s, last_utc_s };
  const rows = Math.round(last_utc_s - first_utc_s);
  const one = stretch({ first_utc_s, last_utc_s, counter, edges: 20 * rows, fixes: rows, samples, ...patch });
  return outline(id, [one]);
}

export function outline(
  id: string,
  stretches: readonly LogStretch[],
  patch: Partial<LogOutline> = {},
): LogOutline {
  const known = stretches.filter(({ first_utc_s }) => !Number.isNaN(first_utc_s));
  return {
    id,
    kind: 'ticks',
    stretches,
    first_utc_s: known.length > 0 ? Math.min(...known.map((one) => one.first_utc_s)) : Number.NaN,
    last_utc_s: known.length > 0 ? Math.max(...known.map((one) => one.last_utc_s)) : Number.NaN,
    hasGrain: stretches.some(({ edges, rows }) => edges + rows > 0),
    hasFixes: stretches.some(({ fixes, samples }) => fixes + samples.utc_s.length > 0),
    samples: stretches[0]?.samples ?? NO_SAMPLES,
    width_m: Number.NaN,
    fields: [],
    heading: '',
    ...patch,
  };
}
