/** What is known of a machine before its first log is judged, as it is asked for: lengths in mm. */
import { type DataError, failure, type Result, success } from '../errors.ts';
import type { CheckSheet } from './check-context.ts';

export interface CheckMeasures {
  readonly pitch_mm: number;
  readonly thickness_mm: number;
  /** Height of the light beam along the elevator. */
  readonly beam_mm?: number;
  /** Paddles on the whole chain. */
  readonly paddles?: number;
  /** Paddles counted at the receiver's light while turning by hand. */
  readonly counted?: number;
  readonly chain_speed_m_s?: number;
}

/** Between which each is possible at all; as for the placement worksheet. */
const POSSIBLE: Readonly<Record<keyof CheckMeasures, readonly [what: string, least: number, most: number]>> =
  {
    pitch_mm: ['pitch of the paddles', 50, 600],
    thickness_mm: ['thickness of a paddle', 1, 60],
    beam_mm: ['height of the beam', 0.5, 40],
    paddles: ['number of paddles on the chain', 8, 400],
    counted: ['number of paddles counted by hand', 1, 5000],
    chain_speed_m_s: ['chain speed', 0.3, 6],
  };
const COUNTS: ReadonlySet<string> = new Set(['paddles', 'counted']);

/** The sheet that `checkBeam` takes; fails with one sentence for a measure that no elevator has. */
export function checkSheetOf(measures: CheckMeasures): Result<CheckSheet> {
  for (const [key, [what, least, most]] of Object.entries(POSSIBLE)) {
    const found = measures[key as keyof CheckMeasures];
    if (found === undefined) continue;
    const isPossible = found >= least && found <= most && (!COUNTS.has(key) || Number.isInteger(found));
    if (!isPossible) return failure(impossible(key, what, found, least, most));
  }
  const { pitch_mm, thickness_mm, beam_mm, paddles, counted, chain_speed_m_s } = measures;
  const unknown = { width_mm: Number.NaN, depth_mm: Number.NaN };
  return success({
    paddle: { pitch_mm, thickness_mm, ...unknown, ...(paddles === undefined ? {} : { count: paddles }) },
    beam: beam_mm === undefined ? {} : { height_mm: beam_mm },
    ...(counted === undefined ? {} : { counted }),
    ...(chain_speed_m_s === undefined ? {} : { chain_speed_m_s }),
  });
}

function impossible(key: string, what: string, found: number, least: number, most: number): DataError {
  const unit = COUNTS.has(key) ? '' : key === 'chain_speed_m_s' ? ' m/s' : ' mm';
  const whole = COUNTS.has(key) ? ', a whole number,' : '';
  const text = `The ${what} is given as ${found}${unit}; between ${least} and ${most}${unit}${whole} is possible. Check it and its unit.`;
  return { code: 'measure_out_of_range', source: 'beam check', text };
}
