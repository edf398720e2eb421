/**
 * Paddles → volume of grain that has passed.
 *
 * Heap height h = p·(D − D0), volume on a paddle V = s·A·h with s = 1 here (calibration absorbs the shape factor), so that
 * the flow over an interval is Q = ΣV/Δt = s·A·v·(D − D0) whatever the chain speed.
 * A paddle's volume is spread evenly over its period, so that one which straddles an interval's end is split by time.
 * Negative volumes near empty are kept: cutting them off would turn noise into grain.
 */
import { columnOf, Interpolation } from '../columns.ts';
import type { PaddleSheet } from '../season.ts';
import { MAD_TO_SD, median } from '../stats/quantiles.ts';
import type { EmptyLevelSolution } from './empty-level.ts';
import type { GrainPassage } from './grain-passage.ts';

/** Paddles on the season's clock, all runs of a machine one after the other. */
export interface TimedPaddles {
  /** Trailing edge, seconds from the season's epoch, ascending. */
  readonly t_s: Float64Array;
  readonly period_s: Float64Array;
  readonly dark_fraction: Float64Array;
  readonly slots: Float64Array;
}

/** Seconds of running elevator by each moment; linear between knots. */
export interface RunningTime {
  readonly t_s: Float64Array;
  readonly cumulative_s: Float64Array;
}

/** Pitch of the machine at moments, radians, nose up; empty when not known. */
export interface PitchRecord {
  readonly t_s: Float64Array;
  readonly pitch_rad: Float64Array;
}

export interface FlowSolution {
  readonly passage: GrainPassage;
  readonly running: RunningTime;
  /** Scatter of the volume of single paddles about their neighbours, m³ (robust); a measure of the sensor's noise. */
  readonly paddle_scatter_m3: number;
  /** Paddles whose hidden dark time was filled in from their neighbours. */
  readonly filled: number;
  /** Paddles whose heap reached the next paddle: flow beyond what the sensor can see. */
  readonly saturated: number;
}

/** Dark fraction above which heaps touch. */
const SATURATED = 0.97;
/** Neighbours on either side from which a hidden paddle is filled in. */
const FILL_NEIGHBOURS = 5;
/** A beam off the middle sees the tilt of a heap only when there is a heap, m. */
const HEAP_MIN_M = 0.005;

/** Area of a paddle, m². */
export function paddleArea(paddle: PaddleSheet): number {
  return paddle.width_mm * paddle.depth_mm * 1e-6;
}

/** Volume on a paddle, m³: V = s·A·p·(D − D0) with shape factor s = 1. */
export function paddleVolume(paddle: PaddleSheet, dark_fraction: number, empty_level: number): number {
  return paddleArea(paddle) * paddle.pitch_mm * 1e-3 * (dark_fraction - empty_level);
}

/**
 * How far behind the middle of the paddle the beam looks, m (positive: toward the column's back, the machine's rear).
 * Nose up by θ, grain lies δ·tan θ higher there.
 */
export function beamOffset(paddle: PaddleSheet, from_back_mm: number | undefined): number {
  return from_back_mm === undefined ? 0 : (paddle.depth_mm / 2 - from_back_mm) * 1e-3;
}

/** The grain that has passed, from all paddles of a machine. */
export function flowFromPaddles(
  paddles: TimedPaddles,
  level: EmptyLevelSolution,
  paddle: PaddleSheet,
  beam_from_back_mm: number | undefined,
  pitch: PitchRecord,
): FlowSolution {
  const n = paddles.t_s.length;
  const { filled, dark_fraction } = fillHidden(paddles, level);
  const height_m = heapHeights({ ...paddles, dark_fraction }, level, paddle, beam_from_back_mm, pitch);
  const area_m2 = paddleArea(paddle);
  const pitch_m = paddle.pitch_mm * 1e-3;
  const cumulative = new Float64Array(n);
  const fill_weighted = new Float64Array(n);
  const cumulative_s = new Float64Array(n);
  let volume_m3 = 0;
  let weighted_m3 = 0;
  let running_s = 0;
  let saturated = 0;
  for (let i = 0; i < n; i++) {
    if (!Number.isNaN(height_m[i])) {
      const heaps_m3 = paddles.slots[i] * area_m2 * height_m[i];
      volume_m3 += heaps_m3;
      weighted_m3 += (heaps_m3 * unrelatedHeight(height_m, paddles.slots, i)) / pitch_m;
      running_s += paddles.period_s[i];
      if (dark_fraction[i] >= SATURATED) saturated += paddles.slots[i];
    }
    cumulative[i] = volume_m3;
    fill_weighted[i] = weighted_m3;
    cumulative_s[i] = running_s;
  }
  return {
    passage: { t_s: paddles.t_s, cumulative, fill_weighted, basis: 'volume' },
    running: { t_s: paddles.t_s, cumulative_s },
    paddle_scatter_m3: area_m2 * scatter(height_m),
    filled,
    saturated,
  };
}

/** Height of the heap on each paddle, m, corrected for tilt; NaN at the start of a running spell. */
function heapHeights(
  { t_s, period_s, dark_fraction }: TimedPaddles,
  level: EmptyLevelSolution,
  paddle: PaddleSheet,
  beam_from_back_mm: number | undefined,
  pitch: PitchRecord,
): Float64Array {
  const offset_m = pitch.t_s.length > 0 ? beamOffset(paddle, beam_from_back_mm) : 0;
  const pitch_m = paddle.pitch_mm * 1e-3;
  const height_m = new Float64Array(t_s.length).fill(Number.NaN);
  const empty = new Interpolation(level.t_s, level.dark_fraction);
  const pitch_rad = new Interpolation(pitch.t_s, pitch.pitch_rad);
  for (let i = 0; i < height_m.length; i++) {
    if (Number.isNaN(period_s[i])) continue;
    height_m[i] = pitch_m * (dark_fraction[i] - empty.at(t_s[i]));
    if (offset_m === 0 || height_m[i] <= HEAP_MIN_M) continue;
    height_m[i] -= offset_m * Math.tan(pitch_rad.at(t_s[i]));
  }
  return height_m;
}

/**
 * Height by which to weight paddle `i`, m: that of the paddle two before, which carries nearly the same flow and shares
 * neither heap nor edge with it, so that noise does not square into a bias. Its own where that is the most there is: at
 * the start of a spell, and in a row that already averages several paddles.
 */
function unrelatedHeight(height_m: Float64Array, slots: Float64Array, i: number): number {
  const other = i > 1 && slots[i] === 1 && !Number.isNaN(height_m[i - 1]) ? height_m[i - 2] : Number.NaN;
  return Number.isNaN(other) ? height_m[i] : other;
}

/** Dark fractions with hidden ones replaced by the mean of their neighbours; where there is none to ask they carry no grain. */
function fillHidden(
  paddles: TimedPaddles,
  level: EmptyLevelSolution,
): { dark_fraction: Float64Array; filled: number } {
  const dark_fraction = paddles.dark_fraction.slice();
  const empty = new Interpolation(level.t_s, level.dark_fraction);
  let filled = 0;
  for (let i = 0; i < dark_fraction.length; i++) {
    if (Number.isNaN(paddles.period_s[i]) || !Number.isNaN(paddles.dark_fraction[i])) continue;
    let sum = 0;
    let count = 0;
    const last = Math.min(dark_fraction.length - 1, i + FILL_NEIGHBOURS);
    for (let k = Math.max(0, i - FILL_NEIGHBOURS); k <= last; k++) {
      if (Number.isNaN(paddles.dark_fraction[k])) continue;
      sum += paddles.dark_fraction[k];
      count++;
    }
    dark_fraction[i] = count > 0 ? sum / count : empty.at(paddles.t_s[i]);
    filled++;
  }
  return { dark_fraction, filled };
}

/** Heaps that tell their scatter to some thousandths of itself; every so many-th where there are more. */
const ENOUGH_HEAPS = 250_000;

/** Robust deviation of single heaps: second differences have variance 6σ² when the flow itself is smooth. */
function scatter(height_m: Float64Array): number {
  const stride = Math.ceil(height_m.length / ENOUGH_HEAPS);
  const second = columnOf(Math.max(0, Math.ceil((height_m.length - 2) / stride)), (k) => {
    const i = 2 + k * stride;
    return Math.abs(height_m[i] - 2 * height_m[i - 1] + height_m[i - 2]);
  });
  return (MAD_TO_SD * median(second)) / Math.sqrt(6);
}
