/** Fixes as tests need them: times, and whatever of the rest matters. */
import type { BeamEdges, FixColumns } from '../../../core/read/logger-run.ts';
import { BeamReducer } from '../../../core/signal/beam-reading.ts';
import type { BeamRun } from '../../../core/signal/placed-run.ts';
import type { TimedFixes } from '../../../core/track/track.ts';

const COLUMNS = [
  'latitude_deg',
  'longitude_deg',
  'altitude_m',
  'speed_m_s',
  'course_deg',
  'quality',
  'satellites',
  'hdop',
] as const;

type Known = { readonly [column in (typeof COLUMNS)[number]]?: readonly number[] };

function columnsOf(count: number, known: Known) {
  const columns = COLUMNS.map((name) => {
    const given = known[name];
    return [name, given ? Float64Array.from(given) : new Float64Array(count).fill(Number.NaN)];
  });
  return Object.fromEntries(columns) as { [column in (typeof COLUMNS)[number]]: Float64Array };
}

/** Columns that are not given are absent (NaN). */
export function timedFixes(t_s: readonly number[], known: Known = {}): TimedFixes {
  return { t_s: Float64Array.from(t_s), ...columnsOf(t_s.length, known) };
}

export function fixColumns(
  tick_us: readonly number[],
  utc_s: readonly number[],
  known: Known = {},
): FixColumns {
  return {
    tick_us: Float64Array.from(tick_us),
    utc_s: Float64Array.from(utc_s),
    ...columnsOf(utc_s.length, known),
  };
}

function reducedBeam({ tick_us, dark }: BeamEdges) {
  const reducer = new BeamReducer();
  reducer.take(tick_us, dark, dark.length);
  return reducer.finish();
}

/** A run that says nothing but what is given. */
export function loggerRun(
  source: string,
  { edges, ...known }: Partial<BeamRun> & { readonly edges?: BeamEdges } = {},
): BeamRun {
  const none = () => new Float64Array();
  return {
    source,
    beam: reducedBeam(edges ?? { tick_us: none(), dark: new Uint8Array() }),
    fixes: fixColumns([], []),
    moisture: { tick_us: none(), moisture_pct: none() },
    header: { tick_us: none(), up: new Uint8Array() },
    tilt: { tick_us: none(), pitch_deg: none(), roll_deg: none() },
    ...known,
  };
}

/** 0, 1, 2 … */
export function range(count: number): number[] {
  return Array.from({ length: count }, (_, i) => i);
}
