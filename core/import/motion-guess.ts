/** Which columns hold distance, speed, heading and interval: by heading, and by whether they go with the positions. */

import { median } from '../stats/quantiles.ts';
import { degFromRad } from '../units.ts';
import { type ColumnGuess, guessOf } from './column-guess.ts';
import type { ColumnProfile } from './column-profile.ts';
import { isSteadyRatio, type StepRatio, stepRatio } from './ground-steps.ts';
import { topicFit } from './header-words.ts';
import { namedUnit, nearestUnit } from './unit-guess.ts';

/** What the sampled rows say of the way, with which columns are compared. */
export interface WayOfRows {
  /** Metres from the row before; NaN where unknown. */
  readonly steps_m: Float64Array;
  /** Direction of that step, degrees clockwise from north; NaN where it is too short to have one. */
  readonly bearing_deg: Float64Array;
  /** Seconds from the row before. */
  readonly dt_s: Float64Array;
}

const LENGTHS = ['m', 'ft', 'in', 'cm', 'mm', 'km'] as const;
const SPEEDS = ['m/s', 'km/h', 'mph', 'kn', 'ft/s', 'in/s'] as const;
/** Sums over blocks of rows that belong together scatter by less than this. */
const STEADY = 0.08;
/** With a fitting heading, numbers are believed when they scatter by less than this. */
const LOOSE = 0.3;

export function guessDistance(profile: ColumnProfile, way: WayOfRows): ColumnGuess[] {
  return goesWithSteps(profile, 'distance', LENGTHS, way.steps_m, way.steps_m, 'the steps from row to row');
}

export function guessSpeed(profile: ColumnProfile, way: WayOfRows): ColumnGuess[] {
  // metres of step against speed × time: the factor is then that of the speed's unit
  const passed = Float64Array.from(way.dt_s, (dt_s, i) => profile.numbers[i] * dt_s);
  return goesWithSteps(profile, 'speed', SPEEDS, way.steps_m, way.dt_s, 'the speed over the ground', passed);
}

function goesWithSteps(
  profile: ColumnProfile,
  quantity: 'distance' | 'speed',
  units: readonly string[],
  steps_m: Float64Array,
  other: Float64Array,
  what: string,
  measured: Float64Array = profile.numbers,
): ColumnGuess[] {
  if (profile.numberShare < 0.9 || profile.least < -0.01 * Math.abs(profile.most)) return [];
  const fit = topicFit(profile.words, quantity);
  const named = namedUnit(profile, quantity);
  const ratio = stepRatio(steps_m, measured);
  const found = ratio === undefined ? undefined : nearestUnit(quantity, units, ratio.factor);
  if (ratio !== undefined && found !== undefined && ratio.scatter < (fit > 0 ? LOOSE : STEADY)) {
    return [
      fromSteps(profile, quantity, {
        fit,
        named,
        ratio,
        unit: found.unit,
        what,
        proven: isSteadyRatio(steps_m, measured),
      }),
    ];
  }
  // positions too coarse to compare, or none: the heading alone
  const blind = ratio === undefined || Number.isNaN(median(other));
  if (fit > 0 && named !== undefined) {
    const confidence = blind ? 0.5 + 0.35 * fit : 0.3;
    const reason = blind
      ? `${quantity} in ${named} by its heading.`
      : `${quantity} by its heading, but it does not go with ${what}.`;
    return [guessOf(profile, quantity, named, confidence, reason)];
  }
  return [];
}

interface StepEvidence {
  readonly fit: number;
  readonly named: string | undefined;
  readonly ratio: StepRatio;
  readonly unit: string;
  readonly what: string;
  /** The column changes and goes with the steps all the same. */
  readonly proven: boolean;
}

function fromSteps(
  profile: ColumnProfile,
  quantity: 'distance' | 'speed',
  { fit, named, ratio, unit, what, proven }: StepEvidence,
): ColumnGuess {
  const base = fit > 0 ? 0.72 + 0.25 * fit : proven ? 0.6 : 0.2;
  const shown = Number(ratio.factor.toPrecision(3));
  if (named === undefined || nearestUnit(quantity, [named], ratio.factor) !== undefined) {
    const agree = named === undefined ? '' : ', as its heading says';
    return guessOf(
      profile,
      quantity,
      named ?? unit,
      base,
      `it goes with ${what}: each is ${shown} ${quantity === 'speed' ? 'm/s' : 'm'}, so ${unit}${agree}.`,
    );
  }
  const reason = `its heading says ${named}, but ${what} makes it ${unit}.`;
  return guessOf(profile, quantity, unit, 0.55 * base + 0.1, reason);
}

/** Two directions that belong together differ by less than this in half of the rows, degrees. */
const BEARING_DEG = 12;

export function guessHeading(profile: ColumnProfile, way: WayOfRows): ColumnGuess[] {
  if (profile.numberShare < 0.9) return [];
  const fit = topicFit(profile.words, 'heading');
  const forms = [
    {
      unit: 'deg',
      factor: 1,
      possible: profile.least >= -180 && profile.most <= 360 && profile.most > 2 * Math.PI + 0.1,
    },
    { unit: 'rad', factor: degFromRad(1), possible: profile.least >= -3.2 && profile.most <= 6.3 },
  ];
  for (const { unit, factor, possible } of forms) {
    if (!possible) continue;
    const apart = Float64Array.from(way.bearing_deg, (bearing, i) => {
      const turn = (((profile.numbers[i] * factor - bearing) % 360) + 540) % 360;
      return Math.abs(turn - 180);
    });
    const middle_deg = median(apart);
    if (middle_deg < BEARING_DEG && profile.distinct > (fit > 0 ? 1 : 4)) {
      const confidence = fit > 0 ? 0.75 + 0.22 * fit : 0.65;
      return [
        guessOf(
          profile,
          'heading',
          unit,
          confidence,
          `it points the way that the positions go, to ${middle_deg.toFixed(1)}°.`,
        ),
      ];
    }
    if (Number.isNaN(middle_deg) && fit > 0) {
      return [guessOf(profile, 'heading', unit, 0.5 + 0.2 * fit, 'degrees by heading and range.')];
    }
  }
  return [];
}

export function guessInterval(profile: ColumnProfile, way: WayOfRows): ColumnGuess[] {
  if (profile.numberShare < 0.9 || !(profile.least >= 0) || !(profile.most > 0)) return [];
  const fit = topicFit(profile.words, 'interval');
  for (const { unit, factor } of [
    { unit: 's', factor: 1 },
    { unit: 'ms', factor: 0.001 },
  ]) {
    let same = 0;
    let known = 0;
    for (let i = 1; i < way.dt_s.length; i++) {
      if (!(way.dt_s[i] > 0)) continue;
      known++;
      // a clock of whole seconds beside a finer interval
      if (Math.abs(profile.numbers[i] * factor - way.dt_s[i]) <= Math.max(0.1 * way.dt_s[i], 0.02)) same++;
    }
    if (known === 0 || same < 0.8 * known) continue;
    const confidence = fit > 0 ? 0.75 + 0.22 * fit : 0.4;
    return [guessOf(profile, 'interval', unit, confidence, 'it equals the time from row to row.')];
  }
  return [];
}

/** Directions of steps long enough to have one. */
export function bearingsOf(
  longitude_deg: Float64Array,
  latitude_deg: Float64Array,
  steps_m: Float64Array,
): Float64Array {
  return steps_m.map((step_m, i) => {
    if (i === 0 || !(step_m > 1)) return Number.NaN;
    const north = latitude_deg[i] - latitude_deg[i - 1];
    const east = (longitude_deg[i] - longitude_deg[i - 1]) * Math.cos((latitude_deg[i] * Math.PI) / 180);
    return (degFromRad(Math.atan2(east, north)) + 360) % 360;
  });
}
