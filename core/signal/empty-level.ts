/**
 * The empty level D0: the dark fraction of a running elevator without grain. A wrong zero is the largest error of this
 * sensor at low flow, so it is found in the log, not assumed: in every spell in which the elevator runs and no crop can
 * be on it any more, as a robust mode; the levels are joined by straight lines, so that dust, wear and chain stretch
 * show as drift. Without such a spell it falls back on geometry, (paddle thickness + beam height) / pitch, and says so.
 */
import { lowerBound } from '../columns.ts';
import type { Notice } from '../errors.ts';
import type { BeamSheet, PaddleSheet } from '../season.ts';
import { halfSampleMode } from '../stats/half-sample-mode.ts';
import { median, scaledMad } from '../stats/quantiles.ts';
import { type ChainSignature, chainSignature } from './chain-signature.ts';
import type { TimedPaddles } from './flow.ts';

/** A stretch of time in which no crop can be on the elevator. */
export interface EmptySpell {
  readonly from_s: number;
  readonly to_s: number;
}

export interface EmptyLevelSolution {
  /** Knots of the level, ascending; one a spell. A single knot holds for the whole log. */
  readonly t_s: Float64Array;
  /** Mean dark fraction of the empty chain: robust mode plus the share of bent paddles. */
  readonly dark_fraction: Float64Array;
  readonly standard_error: Float64Array;
  readonly method: 'measured' | 'geometry' | 'entered';
  /** What geometry says, to compare. */
  readonly geometry: number;
  readonly signature: ChainSignature | undefined;
}

/** Height of a light beam where the sheet does not give it, mm (common practice, no source). */
export const BEAM_HEIGHT_MM = 5;
/** A spell with fewer paddles says too little. */
const MIN_PADDLES = 40;
/** Robust z beyond which a paddle's dark fraction is not noise about the mode. */
const MODE_WINDOW = 3;
/** Difference between measured and geometric level, as a length on the chain, that wants a look, mm. */
export const LOOK_DIFFERENCE_MM = 12;
/** Dirt, grain that leaks back and a wide beam make a paddle look thicker, nothing makes it thinner than this share … */
const LOOK_SHARE = 0.78;
/** … but the rule that it was measured with, mm. */
const RULE_MM = 3;
/** Pitches of elevator chains, mm; common practice, no source. */
const PITCHES_MM = [80, 350] as const;
/** A pitch is named as the likely mistake where it would have to differ by so much. */
const PITCH_OFF = 1.25;

/** Empty level by geometry alone. */
export function emptyLevelFromGeometry(paddle: PaddleSheet, beam: BeamSheet | undefined): number {
  return (paddle.thickness_mm + (beam?.height_mm ?? BEAM_HEIGHT_MM)) / paddle.pitch_mm;
}

/**
 * Finds the level. `t_s`, `dark_fraction`, `slots` are the paddles' columns in time order (NaN rows are skipped).
 * Spells are tried one by one; those with fewer than `MIN_PADDLES` are left out.
 */
export function estimateEmptyLevel(
  paddles: TimedPaddles,
  spells: readonly EmptySpell[],
  paddle: PaddleSheet,
  beam: BeamSheet | undefined,
): EmptyLevelSolution {
  const geometry = emptyLevelFromGeometry(paddle, beam);
  const t: number[] = [];
  const level: number[] = [];
  const error: number[] = [];
  const folded: { first: number; last: number; mode: number }[] = [];
  for (const spell of spells) {
    const first = lowerBound(paddles.t_s, spell.from_s);
    const last = lowerBound(paddles.t_s, spell.to_s);
    const seen: number[] = [];
    for (let i = first; i < last; i++) {
      if (paddles.slots[i] === 1 && !Number.isNaN(paddles.dark_fraction[i]))
        seen.push(paddles.dark_fraction[i]);
    }
    if (seen.length < MIN_PADDLES) continue;
    const mode = robustMode(seen);
    t.push((spell.from_s + spell.to_s) / 2);
    level.push(mode.centre);
    error.push(mode.standard_error);
    folded.push({ first, last, mode: mode.centre });
  }
  if (t.length === 0) {
    return {
      t_s: Float64Array.of(0),
      dark_fraction: Float64Array.of(geometry),
      // the beam's height and the paddle's edge are known to a few millimetres at best
      standard_error: Float64Array.of(3 / paddle.pitch_mm),
      method: 'geometry',
      geometry,
      signature: undefined,
    };
  }
  const signature = paddle.count !== undefined ? chainSignature(paddles, folded, paddle.count) : undefined;
  const share = signature?.mean_extra_dark_fraction ?? 0;
  return {
    t_s: Float64Array.from(t),
    dark_fraction: Float64Array.from(level, (d) => d + share),
    standard_error: Float64Array.from(error),
    method: 'measured',
    geometry,
    signature,
  };
}

/** What the user should know about the level. */
export function emptyLevelNotices(
  solution: EmptyLevelSolution,
  paddle: PaddleSheet,
  source: string,
): Notice[] {
  if (solution.method === 'entered') return [];
  if (solution.method === 'geometry') {
    return [
      {
        code: 'empty_level_from_geometry',
        severity: 'look',
        source,
        count: 1,
        text: `${source}: nowhere in the log does the elevator run empty for long enough, so the empty level was taken from the paddle sheet (${(solution.geometry * 100).toFixed(1)} %). Let the elevator run empty for a minute before the first pass and at each unloading.`,
      },
    ];
  }
  const middle = median(solution.dark_fraction);
  const difference_mm = (middle - solution.geometry) * paddle.pitch_mm;
  const isThin = middle < LOOK_SHARE * solution.geometry && difference_mm < -RULE_MM;
  if (Math.abs(difference_mm) <= LOOK_DIFFERENCE_MM && !isThin) return [];
  return [
    {
      code: 'empty_level_off_geometry',
      severity: 'look',
      source,
      count: 1,
      text: `${source}: an empty paddle darkens the beam for ${(middle * paddle.pitch_mm).toFixed(0)} mm of chain, the paddle sheet says ${(solution.geometry * paddle.pitch_mm).toFixed(0)} mm. ${likelyPitch(paddle, solution.geometry / middle)}Check pitch and thickness of the paddles${isThin ? '' : ', and whether grain leaks back or the lens is dirty'}.`,
    },
  ];
}

/** The pitch at which the sheet would agree, where paddles are built so and the thickness need not be wrong. */
function likelyPitch({ pitch_mm }: PaddleSheet, off: number): string {
  const fitting_mm = off * pitch_mm;
  const isBuilt = fitting_mm >= PITCHES_MM[0] && fitting_mm <= PITCHES_MM[1];
  if (!isBuilt || Math.max(off, 1 / off) < PITCH_OFF) return '';
  const grain = (1 / off).toFixed(1);
  return `With a pitch of ${fitting_mm.toFixed(0)} mm instead of ${pitch_mm} mm the two would agree; if that is it, volumes are ${grain} times what they should be, and loads will not fit whatever the unit of the tickets. `;
}

/** Half-sample mode, then the mean of what lies within `MODE_WINDOW` robust deviations of it [Bickel & Frühwirth 2006]. */
function robustMode(seen: readonly number[]): { centre: number; standard_error: number } {
  const mode = halfSampleMode(seen);
  // the smaller half of the deviations belongs to the mode even when the larger half is grain or damage
  const spread = scaledMad(seen, mode);
  let sum = 0;
  let sumSquares = 0;
  let count = 0;
  for (const d of seen) {
    if (Math.abs(d - mode) > MODE_WINDOW * spread) continue;
    sum += d - mode;
    sumSquares += (d - mode) ** 2;
    count++;
  }
  const mean = sum / count;
  const variance = count > 1 ? (sumSquares - count * mean * mean) / (count - 1) : 0;
  return { centre: mode + mean, standard_error: Math.sqrt(variance / count) };
}
