/** One machine's record → the grain that has passed its beam by each moment, with the empty level it rests on. */

import { lowerBound, sumOf, upperBound } from '../columns.ts';
import type { Notice } from '../errors.ts';
import type { MachineSheet, SettingsSheet } from '../season.ts';
import { median } from '../stats/quantiles.ts';
import {
  type EmptyLevelSolution,
  emptyLevelFromGeometry,
  emptyLevelNotices,
  estimateEmptyLevel,
} from './empty-level.ts';
import { findEmptySpells } from './empty-spells.ts';
import { beamOffset, flowFromPaddles, type PitchRecord, paddleArea, type RunningTime } from './flow.ts';
import { passageFromRecords, runningFromRecords } from './flow-records.ts';
import { amountBetween, type GrainPassage, riseBetween } from './grain-passage.ts';
import type { MachineRecord } from './machine-record.ts';
import { pitchFromElevation } from './slope.ts';

/** What of a machine's sheet tells how its beam sees grain. */
export type BeamSheets = Pick<MachineSheet, 'id' | 'paddle' | 'beam'>;

export interface MachineGrain {
  readonly passage: GrainPassage;
  readonly running: RunningTime;
  /** Undefined for logs that already carry a flow. */
  readonly level: EmptyLevelSolution | undefined;
  /** Standard deviation of one paddle's volume, m³; NaN for flow logs. */
  readonly paddle_scatter_m3: number;
  /** Standard error of the flow that the empty level's own error makes, m³/s (0 for flow logs). */
  readonly zero_se_m3_s: number;
  readonly notices: readonly Notice[];
}

/** Crop is taken to have left the elevator so long after the header rose: slowest published delay plus several mixings, s. */
const CLEAN_OUT_S = 30;
/** Share of saturated paddles that is worth a word. */
const SATURATED_SHARE = 0.002;
/** Grain is taken to arrive between these delays (published: 8–14 s, and up to 20 s with mixing), … */
const EARLIEST_S = 6;
const LATEST_S = 24;
/** … and to be grain when it comes at more than this share of the usual rate on the average of that time. */
const GRAIN_SHARE = 0.1;

/** Fill and flow of one machine. */
export function grainOfMachine(
  record: MachineRecord,
  sheet: BeamSheets,
  signal: SettingsSheet['signal'],
): MachineGrain {
  if (record.grain.kind === 'flow') {
    const { records } = record.grain;
    return {
      passage: passageFromRecords(records),
      running: runningFromRecords(records),
      level: undefined,
      paddle_scatter_m3: Number.NaN,
      zero_se_m3_s: 0,
      notices: [],
    };
  }
  const { paddle, beam } = sheet;
  if (paddle === undefined)
    throw new RangeError(`Machine "${sheet.id}" has paddles in its log but no paddle sheet.`);
  const { paddles, single } = record.grain;
  const level = levelOf(record, sheet, signal);
  const isTiltSeen = beamOffset(paddle, beam?.from_back_mm) !== 0;
  const pitch = isTiltSeen ? pitchOf(record) : NO_PITCH;
  const flow = flowFromPaddles(paddles, level, paddle, beam?.from_back_mm, pitch);
  const notices = emptyLevelNotices(level, paddle, record.source);
  const last = flow.running.cumulative_s.length - 1;
  const running_s = last >= 0 ? flow.running.cumulative_s[last] : 0;
  if (flow.saturated > SATURATED_SHARE * paddles.t_s.length) {
    notices.push({
      code: 'beam_saturated',
      severity: 'look',
      source: record.source,
      count: flow.saturated,
      text: `${record.source}: on ${flow.saturated} paddles the heap reached the next paddle, so more grain passed than the beam can see. Yields there are too low; drive slower in the heaviest crop or mount the sensor where paddles are further apart.`,
    });
  }
  const paddlesPerSecond = running_s > 0 ? sumOf(paddles.slots) / running_s : 0;
  const zero_se = Math.sqrt(median(level.standard_error.map((se) => se * se)));
  return {
    passage: flow.passage,
    running: flow.running,
    level,
    // a tally shows the mean of its paddles, which scatters less than one of them
    paddle_scatter_m3: flow.paddle_scatter_m3 * (single ? 1 : Math.sqrt(median(paddles.slots))),
    zero_se_m3_s: paddleArea(paddle) * paddle.pitch_mm * 1e-3 * zero_se * paddlesPerSecond,
    notices,
  };
}

/** For a beam across the middle of the paddles, which sees the same whichever way the machine leans. */
const NO_PITCH: PitchRecord = { t_s: new Float64Array(), pitch_rad: new Float64Array() };

/** Tilt as logged, else as the ground has it. */
function pitchOf(record: MachineRecord): PitchRecord {
  return record.pitch.t_s.length > 0 ? record.pitch : pitchFromElevation(record.fixes);
}

/** The level as entered, else as found in the log. */
function levelOf(
  record: MachineRecord,
  sheet: BeamSheets,
  signal: SettingsSheet['signal'],
): EmptyLevelSolution {
  const { paddle, beam } = sheet;
  if (paddle === undefined || record.grain.kind !== 'paddles')
    throw new RangeError('No paddles to find a level for.');
  const entered = signal?.empty_level;
  if (entered !== undefined) {
    return {
      t_s: Float64Array.of(0),
      dark_fraction: Float64Array.of(entered),
      standard_error: Float64Array.of(0),
      method: 'entered',
      geometry: emptyLevelFromGeometry(paddle, beam),
      signature: undefined,
    };
  }
  const spells = findEmptySpells(record.fixes, record.header, CLEAN_OUT_S);
  const { paddles, single } = record.grain;
  if (single) return estimateEmptyLevel(paddles, spells, paddle, beam);
  // tallies average over paddles, bent ones included: rows stand for paddles, and there is no chain to fold
  const slots = new Float64Array(paddles.t_s.length).fill(1);
  return estimateEmptyLevel({ ...paddles, slots }, spells, { ...paddle, count: undefined }, beam);
}

/** Where grain came that may have been cut, as data: what passes the beam in a busy second (NaN when nothing does), and the passage. */
export interface RoughCutting {
  readonly usual: number;
  readonly t_s: Float64Array;
  readonly cumulative: Float64Array;
}

/**
 * A first, generous answer to "may crop have been cut here?" for logs without a header switch: grain came at some time
 * at which it could have. It tells harvest from travel; turns are told from passes by the way the machine moves, and
 * ground that was cut before by the ground itself.
 */
export function roughCutting({ passage }: Pick<MachineGrain, 'passage'>): RoughCutting {
  const { t_s } = passage;
  const rates: number[] = [];
  const STEP_S = 10;
  for (let at_s = t_s[0]; at_s < t_s[t_s.length - 1]; at_s += STEP_S) {
    rates.push(amountBetween(passage, at_s, at_s + STEP_S) / STEP_S);
  }
  const busiest = rates.reduce((most, rate) => Math.max(most, rate), 0);
  const usual = median(rates.filter((rate) => rate > 0.1 * busiest));
  return { usual, t_s, cumulative: passage.cumulative };
}

/** The same for what may have been cut at the moments `t_s` and between them, in columns of its own. */
export function cuttingWithin(
  { usual, t_s, cumulative }: RoughCutting,
  from_s: number,
  to_s: number,
): RoughCutting {
  const first = Math.max(0, lowerBound(t_s, from_s + EARLIEST_S) - 1);
  const end = upperBound(t_s, to_s + LATEST_S) + 1;
  return { usual, t_s: t_s.slice(first, end), cumulative: cumulative.slice(first, end) };
}

/** Whether crop may have been cut between two moments. */
export function mayHaveCut({ usual, t_s, cumulative }: RoughCutting, from_s: number, to_s: number): boolean {
  const came = riseBetween(t_s, cumulative, from_s + EARLIEST_S, to_s + LATEST_S);
  return came > GRAIN_SHARE * usual * (to_s + LATEST_S - from_s - EARLIEST_S);
}
