/** Which columns hold longitude and latitude, by heading, by range, and by whether they make a way that can be driven. */
import { type ColumnGuess, guessOf, named } from './column-guess.ts';
import type { ColumnProfile, TableSample } from './column-profile.ts';
import type { Place } from './date-order.ts';
import { groundSteps, isSteadyRatio } from './ground-steps.ts';
import { topicFit } from './header-words.ts';

export interface PositionGuess {
  /** Longitude and latitude, or neither. */
  readonly guesses: readonly ColumnGuess[];
  /** Of the sampled rows, degrees; NaN where unread. */
  readonly longitude_deg: Float64Array;
  readonly latitude_deg: Float64Array;
  /** The middle of them. */
  readonly place: Place;
  /** Why there is none; one sentence. */
  readonly lacking?: string;
}

/** One log lies within so many degrees: three weeks of one machine. */
const WIDEST_DEG = 3;
/** Fewer digits behind the point would put all rows on a grid of a hundred metres. */
const FEWEST_DECIMALS = 4;

export function guessPosition(sample: TableSample): PositionGuess {
  const possible = sample.columns.filter(isDegrees);
  const pairs = possible.flatMap((longitude) =>
    possible.flatMap((latitude) => (longitude === latitude ? [] : judge(longitude, latitude, sample))),
  );
  const best = pairs.sort((a, b) => b.confidence - a.confidence)[0];
  const nothing = new Float64Array(sample.rows).fill(Number.NaN);
  if (best === undefined) {
    return {
      guesses: [],
      longitude_deg: nothing,
      latitude_deg: nothing,
      place: { longitude_deg: Number.NaN, latitude_deg: Number.NaN },
      lacking: lackingSentence(sample),
    };
  }
  const { longitude, latitude, confidence, why } = best;
  return {
    guesses: [
      guessOf(longitude, 'longitude', undefined, confidence, `${why} (${range(longitude)}).`),
      guessOf(latitude, 'latitude', undefined, confidence, `${why} (${range(latitude)}).`),
    ],
    longitude_deg: longitude.numbers,
    latitude_deg: latitude.numbers,
    place: { longitude_deg: longitude.middle, latitude_deg: latitude.middle },
  };
}

function isDegrees(profile: ColumnProfile): boolean {
  if (profile.numberShare < 0.9 || profile.filledShare < 0.5 || profile.decimals < FEWEST_DECIMALS)
    return false;
  // half of the rows about the middle: fixes of 0, 0 and other strays do not count
  const near = profile.numbers.filter((degrees) => Math.abs(degrees - profile.middle) < WIDEST_DEG).length;
  return Math.abs(profile.middle) <= 180 && near >= 0.9 * profile.numbers.length * profile.filledShare;
}

interface Pair {
  readonly longitude: ColumnProfile;
  readonly latitude: ColumnProfile;
  readonly confidence: number;
  readonly why: string;
}

function judge(longitude: ColumnProfile, latitude: ColumnProfile, sample: TableSample): Pair[] {
  if (Math.abs(latitude.middle) > 89) return [];
  const steps_m = groundSteps(longitude.numbers, latitude.numbers, sample.contiguous);
  if (!isDriven(steps_m)) return [];
  const fit = Math.min(topicFit(longitude.words, 'longitude'), topicFit(latitude.words, 'latitude'));
  if (fit > 0) {
    const confidence = 0.75 + 0.24 * fit;
    return [
      { longitude, latitude, confidence, why: 'degrees by heading and numbers, a way that can be driven' },
    ];
  }
  const crossed = Math.min(topicFit(longitude.words, 'latitude'), topicFit(latitude.words, 'longitude'));
  if (crossed > 0) return [];
  const plane = isWord(longitude, ['x', 'east', 'easting']) && isWord(latitude, ['y', 'north', 'northing']);
  if (plane)
    return [{ longitude, latitude, confidence: 0.85, why: 'x and y in degrees, a way that can be driven' }];
  if (Math.abs(longitude.middle) > 90) {
    const why = 'the one beyond 90° can only be the longitude, and the two make a way that can be driven';
    return [{ longitude, latitude, confidence: 0.8, why }];
  }
  const measured = sample.columns.some(
    (column) => column !== longitude && column !== latitude && isSteadyRatio(steps_m, column.numbers),
  );
  if (measured) {
    const why = 'only this way round do the steps agree with another column of the table';
    const swapped = groundSteps(latitude.numbers, longitude.numbers, sample.contiguous);
    const both = sample.columns.some(
      (column) => column !== longitude && column !== latitude && isSteadyRatio(swapped, column.numbers),
    );
    return [
      {
        longitude,
        latitude,
        confidence: both ? 0.45 : 0.7,
        why: both ? 'degrees, a way that can be driven' : why,
      },
    ];
  }
  // nothing tells which is which: latitude first is the commoner order of spoken positions, and only offered
  const confidence = latitude.index < longitude.index ? 0.4 : 0.35;
  return [
    { longitude, latitude, confidence, why: 'degrees, a way that can be driven; which is which is open' },
  ];
}

function isWord({ words }: ColumnProfile, known: readonly string[]): boolean {
  return words.tokens.length === 1 && known.includes(words.tokens[0]);
}

/** Most steps are no longer than a machine drives between two rows, and it does drive. */
function isDriven(steps_m: Float64Array): boolean {
  let moved = 0;
  let leapt = 0;
  let known = 0;
  for (const step_m of steps_m) {
    if (Number.isNaN(step_m)) continue;
    known++;
    if (step_m > 0.05) moved++;
    if (step_m > 100) leapt++;
  }
  return known > 0 && moved > 0.02 * known && leapt < 0.2 * known;
}

function range({ least, most }: ColumnProfile): string {
  return `${least} to ${most}`;
}

/** Numbers of six digits that hardly change are metres of a projected grid. */
function lackingSentence(sample: TableSample): string {
  const metres = sample.columns.filter(
    ({ middle, least, most, numberShare }) =>
      numberShare >= 0.9 &&
      Math.abs(middle) > 10_000 &&
      most - least > 50 &&
      most - least < 500_000 &&
      middle < 1e7,
  );
  const projected = metres.filter(
    ({ words }) =>
      ['longitude', 'latitude'].some((topic) => topicFit(words, topic as 'longitude') > 0) ||
      isOneOf(words.tokens, ['x', 'y', 'easting', 'northing', 'east', 'north']),
  );
  return projected.length >= 2
    ? `${projected.slice(0, 2).map(named).join(' and ')} look like metres of a projected grid; export the positions as longitude and latitude in degrees (WGS84).`
    : 'no two columns look like longitude and latitude in degrees; export the log with positions.';
}

function isOneOf(tokens: readonly string[], known: readonly string[]): boolean {
  return tokens.some((token) => known.includes(token));
}
