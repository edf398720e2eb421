/**
 * The column mapping of a table that nobody has seen before, guessed from its headings and from its numbers: position, time,
 * motion, then grain, each step resting on the one before. Everything can be overruled; nothing is asked that shows.
 */

import { failure, type Result, success } from '../errors.ts';
import type { ColumnMappingSheet } from '../season.ts';
import { shownText } from '../shown-text.ts';
import { median } from '../stats/quantiles.ts';
import { type ColumnGuess, TAKEN } from './column-guess.ts';
import { type ColumnProfile, sampleTable, type TableSample } from './column-profile.ts';
import { guessGrain, guessMoisture, guessSwath, yieldUnits } from './grain-guess.ts';
import { groundSteps } from './ground-steps.ts';
import { fingerprintOf } from './header-fingerprint.ts';
import { topicFit } from './header-words.ts';
import { localOffset } from './local-offset.ts';
import {
  bearingsOf,
  guessDistance,
  guessHeading,
  guessInterval,
  guessSpeed,
  type WayOfRows,
} from './motion-guess.ts';
import { passSpacing } from './pass-spacing.ts';
import { guessPosition } from './position-guess.ts';
import { guessAltitude, guessField, guessFixQuality, guessHeaderState } from './state-guess.ts';
import { guessTime, offsetText } from './time-guess.ts';
import { factorOf, unitFamily } from './unit-guess.ts';

export interface MappingGuess {
  /** What would be written into season.json; its id is the caller's to choose. */
  readonly mapping: Omit<ColumnMappingSheet, 'id'>;
  /** The guesses in it. */
  readonly taken: readonly ColumnGuess[];
  /** Guesses too weak to be taken, or beaten by others: what a user may choose from. */
  readonly offered: readonly ColumnGuess[];
  /** Of the weakest guess that a log cannot do without; 0 when one is lacking. */
  readonly confidence: number;
  /** What no column could be found for; sentences. */
  readonly lacking: readonly string[];
  /** What was taken although the table leaves it open: sentences that a person can confirm or put right. */
  readonly doubts: readonly string[];
  readonly hasHeader: boolean;
  /** Columns of which most cells are numbers: a letter has none. */
  readonly numericColumns: number;
  /** Rows as they stand in the file, to show beside the guess. */
  readonly firstRows: readonly (readonly string[])[];
  /** Names of crops and machines that columns hold, when a heading says so and they are few. */
  readonly crops: readonly string[];
}

/** Weaker guesses are noise. */
const OFFERED = 0.3;
/** Shown beside the guesses. */
const SHOWN_ROWS = 5;
const MOST_NAMES = 12;

/** Guesses the mapping of `text`. Fails with `empty_file` only. */
export function guessMapping(text: string, source: string): Result<MappingGuess> {
  const sampled = sampleTable(text, source);
  return sampled.ok ? success(guessFromSample(sampled.value)) : failure(sampled.error);
}

function guessFromSample(sample: TableSample): MappingGuess {
  const position = guessPosition(sample);
  const time = guessTime(sample, position.place);
  const used = new Set([...position.guesses, ...time.guesses].map(({ index }) => index));
  const rest = sample.columns.filter(({ index }) => !used.has(index));
  const zone = localOffset(time, position);
  const way = wayOf(sample, position.longitude_deg, position.latitude_deg, time.written_s);
  const motion = choose(
    rest.flatMap((profile) => [
      ...guessDistance(profile, way),
      ...guessSpeed(profile, way),
      ...guessHeading(profile, way),
      ...guessInterval(profile, way),
    ]),
  );
  const spacing = passSpacing({ utc_s: time.written_s, ...position, harvesting: () => true });
  const moving = motion.filter(({ confidence }) => confidence >= TAKEN);
  const family = unitFamily(sample.columns, unitsOf(moving));
  const still = rest.filter(({ index }) => !moving.some((guess) => guess.index === index));
  const swaths = still.flatMap((profile) => guessSwath(profile, family, spacing?.spacing_m ?? Number.NaN));
  const swath = choose(swaths)[0];
  const yields = still.find((profile) => topicFit(profile.words, 'yield') > 0 && profile.numberShare >= 0.9);
  const work = {
    family,
    swath_m: columnOf(sample, swath, 'swath'),
    distance_m: distanceOf(sample, moving, way),
    interval_s: intervalOf(sample, moving, way),
    spacing_m: spacing?.spacing_m ?? Number.NaN,
    ...(yields === undefined ? {} : { yields: { profile: yields, kg_m2: yieldUnits(yields) } }),
  };
  const grains = still
    .filter((profile) => profile !== yields)
    .flatMap((profile) => guessGrain(profile, work));
  // one of them is needed; two would be the same grain twice
  const grain = choose(grains)[0];
  const known = [...moving, ...(swath === undefined ? [] : [swath]), ...(grain === undefined ? [] : [grain])];
  const lengths = unitFamily(sample.columns, unitsOf(known));
  const flow = grain === undefined ? new Float64Array() : sample.columns[grain.index].numbers;
  const all = [
    ...position.guesses,
    ...time.guesses,
    ...(grain === undefined ? [] : [grain]),
    ...choose([
      ...motion,
      ...swaths,
      ...still.flatMap((profile) => [
        ...guessMoisture(profile),
        ...guessHeaderState(profile, flow),
        ...guessFixQuality(profile),
        ...guessField(profile),
        ...guessAltitude(profile, lengths),
      ]),
    ]).filter(({ index }) => index !== grain?.index),
  ];
  return composed(
    sample,
    all,
    grains.filter((guess) => guess !== grain),
    {
      lacking: [
        ...(position.lacking === undefined ? [] : [position.lacking]),
        ...(time.guesses.length === 0
          ? ['no column looks like date and time; export the log with both.']
          : []),
        ...(grain === undefined ? [lackingGrain(yields)] : []),
      ],
      doubts: [
        ...(time.doubt === undefined ? [] : [`${time.doubt}.`]),
        ...(zone.doubt === undefined ? [] : [zone.doubt]),
      ],
      offset_s: zone.offset_s,
    },
  );
}

function unitsOf(guesses: readonly ColumnGuess[]): string[] {
  return guesses.flatMap(({ unit, quantity }) =>
    unit === undefined || quantity === 'heading' ? [] : [unit],
  );
}

function lackingGrain(yields: ColumnProfile | undefined): string {
  return yields === undefined
    ? 'no column looks like a flow of grain; export the log with the flow (kg/s or lb/s).'
    : `there is a yield ("${shownText(yields.words.name)}") but no flow of grain; a yield has been divided by a width and a distance already: export the flow (kg/s or lb/s) and the swath.`;
}

/** Each quantity and each column once, the surest guesses first. */
function choose(guesses: readonly ColumnGuess[]): ColumnGuess[] {
  const chosen: ColumnGuess[] = [];
  for (const guess of [...guesses].sort((a, b) => b.confidence - a.confidence)) {
    if (chosen.some(({ quantity, index }) => quantity === guess.quantity || index === guess.index)) continue;
    chosen.push(guess);
  }
  return chosen;
}

const NEEDED: readonly ColumnGuess['quantity'][] = [
  'longitude',
  'latitude',
  'time',
  'date',
  'clock_time',
  'mass_flow',
  'volume_flow',
  'mass',
];

function composed(
  sample: TableSample,
  guesses: readonly ColumnGuess[],
  beaten: readonly ColumnGuess[],
  { lacking, doubts, offset_s }: { lacking: string[]; doubts: string[]; offset_s: number },
): MappingGuess {
  const isNeeded = ({ quantity }: ColumnGuess) => NEEDED.includes(quantity);
  const taken = guesses.filter((guess) => isNeeded(guess) || guess.confidence >= TAKEN);
  const { table } = sample;
  return {
    mapping: {
      ...(table.delimiter === ',' ? {} : { delimiter: table.delimiter }),
      ...(sample.decimal === '.' ? {} : { decimal: sample.decimal }),
      ...(sample.hasHeader ? {} : { has_header: false }),
      ...(offset_s === 0 ? {} : { utc_offset: offsetText(offset_s) }),
      header: fingerprintOf(table),
      columns: taken.map(({ quantity, column, unit }) => ({
        quantity,
        column,
        ...(unit === undefined ? {} : { unit }),
      })),
    },
    taken,
    offered: [...guesses.filter((guess) => !taken.includes(guess)), ...beaten].filter(
      ({ confidence }) => confidence >= OFFERED,
    ),
    confidence:
      lacking.length > 0 ? 0 : Math.min(...taken.filter(isNeeded).map(({ confidence }) => confidence)),
    lacking,
    doubts,
    hasHeader: sample.hasHeader,
    numericColumns: sample.columns.filter(({ numberShare }) => numberShare >= 0.5).length,
    firstRows: Array.from({ length: Math.min(SHOWN_ROWS, sample.rows) }, (_, i) =>
      sample.columns.map(({ cells }) => cells[i]),
    ),
    crops: namesOf(sample, 'crop'),
  };
}

function namesOf(sample: TableSample, topic: 'crop'): string[] {
  const column = sample.columns.find(
    ({ words, distinct, numberShare }) =>
      topicFit(words, topic) > 0.7 && distinct > 0 && distinct <= MOST_NAMES && numberShare < 0.5,
  );
  return column === undefined ? [] : [...new Set(column.cells.filter((cell) => cell !== ''))];
}

function wayOf(
  sample: TableSample,
  longitude_deg: Float64Array,
  latitude_deg: Float64Array,
  written_s: Float64Array,
): WayOfRows {
  const steps_m = groundSteps(longitude_deg, latitude_deg, sample.contiguous);
  const dt_s = Float64Array.from(steps_m, (_, i) => (i > 0 ? written_s[i] - written_s[i - 1] : Number.NaN));
  return { steps_m, bearing_deg: bearingsOf(longitude_deg, latitude_deg, steps_m), dt_s };
}

/** Cells of a guessed column in SI; NaN where nothing was guessed. */
function columnOf(
  sample: TableSample,
  guess: ColumnGuess | undefined,
  quantity: 'swath' | 'distance' | 'interval',
) {
  if (guess === undefined) return new Float64Array(sample.rows).fill(Number.NaN);
  const factor = factorOf(quantity, guess.unit ?? 'm');
  return sample.columns[guess.index].numbers.map((number) => number * factor);
}

function distanceOf(sample: TableSample, moving: readonly ColumnGuess[], way: WayOfRows): Float64Array {
  const distance = moving.find(({ quantity }) => quantity === 'distance');
  if (distance !== undefined) return columnOf(sample, distance, 'distance');
  return Float64Array.from({ length: sample.rows }, (_, i) => way.steps_m[i] ?? Number.NaN);
}

function intervalOf(sample: TableSample, moving: readonly ColumnGuess[], way: WayOfRows): Float64Array {
  const interval = moving.find(({ quantity }) => quantity === 'interval');
  if (interval !== undefined)
    return columnOf(sample, { ...interval, unit: interval.unit ?? 's' }, 'interval');
  const usual_s = usualStep(way.dt_s);
  return Float64Array.from({ length: sample.rows }, (_, i) => (way.dt_s[i] >= 0 ? usual_s : Number.NaN));
}

/** Rows over which the step of time is averaged: clocks of whole seconds, or days of five digits, tell it in leaps. */
const STEP_ROWS = 20;

function usualStep(dt_s: Float64Array): number {
  const means_s: number[] = [];
  let sum_s = 0;
  let rows = 0;
  for (const step_s of dt_s) {
    if (!(step_s >= 0 && step_s < 30)) {
      sum_s = 0;
      rows = 0;
      continue;
    }
    sum_s += step_s;
    if (++rows < STEP_ROWS) continue;
    means_s.push(sum_s / rows);
    sum_s = 0;
    rows = 0;
  }
  return means_s.length > 0 ? median(means_s) : median(dt_s);
}
