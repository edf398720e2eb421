/** Applies the screening rules to the points of one field: for each point the first rule that catches it. */
import { pickRows } from '../columns.ts';
import { SCREENING_RULES } from '../result.ts';
import type { ScreeningRule } from '../season.ts';
import { median, scaledMad } from '../stats/quantiles.ts';
import { fillBetween } from './between-outliers.ts';
import { localOutliers } from './local-outliers.ts';
import { moranOutliers } from './moran-outliers.ts';
import type { RuleNumbers } from './rules.ts';

/** What the rules look at; one row a point, machines mixed, in time order within each machine. */
export interface ScreenInput {
  readonly machine: Int32Array;
  readonly pass: Int32Array;
  readonly duration_s: Float64Array;
  readonly speed_m_s: Float64Array;
  readonly width_share: Float64Array;
  readonly fresh_area_m2: Float64Array;
  readonly position_se_m: Float64Array;
  /** 1 where a fix of the point was thrown out or missing. */
  readonly no_fix: Uint8Array;
  readonly outside: Uint8Array;
  /** From `responseMismatch`: relative error that mixing makes here. */
  readonly mismatch: Float64Array;
  /** Rows of the ground near a pass's start or end, where a mismatch is a ramp. */
  readonly near_end: Uint8Array;
  readonly yield_kg_m2: Float64Array;
  readonly distance_m: Float64Array;
  /** Mean height of the heaps as a share of the paddles' pitch; NaN where the log does not show heaps. */
  readonly fill: Float64Array;
  readonly moisture_pct: Float64Array;
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  readonly header_width_m: Float64Array;
}

type Test = (i: number) => boolean;

/** Changes of speed are not taken relative to less than this, m/s. */
const CREEPING_M_S = 0.1;

/**
 * 0 where kept, else 1 + index into `SCREENING_RULES`. Rules that are not in force catch nothing. `by_hand` is 1 where
 * somebody left the point out (`excludedByHand`).
 */
export function screenPoints(
  input: ScreenInput,
  by_hand: Uint8Array,
  rules: Readonly<Partial<Record<ScreeningRule, RuleNumbers>>>,
): Uint8Array {
  const n = input.pass.length;
  const screened_by = new Uint8Array(n);
  SCREENING_RULES.forEach((name, index) => {
    const numbers = rules[name];
    if (numbers === undefined) return;
    const caught = testOf(name, { ...input, by_hand }, numbers, screened_by);
    for (let i = 0; i < n; i++) if (screened_by[i] === 0 && caught(i)) screened_by[i] = index + 1;
  });
  return screened_by;
}

function testOf(
  name: ScreeningRule,
  input: ScreenInput & { readonly by_hand: Uint8Array },
  numbers: RuleNumbers,
  soFar: Uint8Array,
): Test {
  switch (name) {
    case 'not_cutting':
      return (i) => input.pass[i] < 0;
    case 'outside_field':
      return (i) => input.outside[i] === 1;
    case 'no_fix':
      return (i) =>
        input.no_fix[i] === 1 ||
        !(input.position_se_m[i] <= numbers.position_se_max_m) ||
        input.duration_s[i] > numbers.gap_max_s;
    case 'by_hand':
      return (i) => input.by_hand[i] === 1;
    case 'ramp':
      return (i) => input.near_end[i] === 1 && Math.abs(input.mismatch[i]) > numbers.mismatch_max;
    case 'slow':
      return (i) => input.speed_m_s[i] < numbers.speed_min_m_s;
    case 'short_pass': {
      const length_m = passLengths(input);
      return (i) => length_m[i] < numbers.distance_min_m;
    }
    case 'speed_jump': {
      const change = speedChanges(input);
      return (i) => Math.abs(input.mismatch[i]) > numbers.mismatch_max || change[i] > numbers.change_max;
    }
    case 'narrow_cut':
      return (i) => input.width_share[i] < numbers.share_min || !(input.fresh_area_m2[i] > 0);
    case 'flow_range':
      return (i) => input.fill[i] > numbers.fill_max;
    case 'moisture_range':
      return moistureLimits(input, numbers, soFar);
    case 'yield_limits':
      return yieldLimits(input, numbers, soFar);
    case 'local_outlier': {
      const rows = keptRows(soFar);
      const cell_m = numbers.reach_headers * median(input.header_width_m);
      const outlying = localOutliers(input, rows, { cell_m, deviations_max: numbers.deviations_max });
      if (numbers.moran_p_max > 0) {
        const unlike = moranOutliers(input, rows, numbers.moran_p_max);
        for (let i = 0; i < unlike.length; i++) outlying[i] |= unlike[i];
      }
      markThose(outlying, soFar, 'yield_limits');
      fillBetween(input, outlying, numbers.between_s);
      return (i) => outlying[i] === 1;
    }
  }
}

function markThose(marks: Uint8Array, screened_by: Uint8Array, rule: ScreeningRule): void {
  const by = SCREENING_RULES.indexOf(rule) + 1;
  for (let i = 0; i < marks.length; i++) if (screened_by[i] === by) marks[i] = 1;
}

function keptRows(screened_by: Uint8Array): Int32Array {
  const rows = new Int32Array(screened_by.length);
  let count = 0;
  for (let i = 0; i < rows.length; i++) if (screened_by[i] === 0) rows[count++] = i;
  return rows.subarray(0, count);
}

/** Distance of the whole pass that each point belongs to; NaN between passes. */
function passLengths({ machine, pass, distance_m }: ScreenInput): Float64Array {
  const length_m = new Map<number, number>();
  const keyOf = (i: number) => machine[i] * 2 ** 32 + pass[i];
  // neighbours mostly belong to one pass, which then need not be looked up
  let key = Number.NaN;
  let sum_m = 0;
  for (let i = 0; i < pass.length; i++) {
    if (pass[i] < 0) continue;
    if (keyOf(i) !== key) {
      length_m.set(key, sum_m);
      key = keyOf(i);
      sum_m = length_m.get(key) ?? 0;
    }
    sum_m += distance_m[i] || 0;
  }
  length_m.set(key, sum_m);
  const whole_m = new Float64Array(pass.length).fill(Number.NaN);
  for (let i = 0; i < pass.length; i++) {
    if (pass[i] < 0) continue;
    if (keyOf(i) !== key) {
      key = keyOf(i);
      sum_m = length_m.get(key) ?? 0;
    }
    whole_m[i] = sum_m;
  }
  return whole_m;
}

/** Around the median of the points that no rule has caught yet; never nearer than the least difference. */
function moistureLimits({ moisture_pct }: ScreenInput, numbers: RuleNumbers, soFar: Uint8Array): Test {
  const kept = pickRows(moisture_pct, keptRows(soFar));
  const centre = median(kept);
  const reach = Math.max(numbers.difference_min_pct, numbers.deviations_max * scaledMad(kept, centre));
  return (i) => Math.abs(moisture_pct[i] - centre) > reach;
}

/** Relative change of speed from the machine's point before in the same pass; 0 at the start of a pass. */
function speedChanges({ machine, pass, speed_m_s }: ScreenInput): Float64Array {
  const change = new Float64Array(pass.length);
  const latest = new Map<number, number>();
  for (let i = 0; i < pass.length; i++) {
    const before = latest.get(machine[i]);
    latest.set(machine[i], i);
    if (before === undefined || pass[before] !== pass[i]) continue;
    change[i] = Math.abs(speed_m_s[i] - speed_m_s[before]) / Math.max(CREEPING_M_S, speed_m_s[i]);
  }
  return change;
}

/**
 * Robust limits from the points that no rule has caught yet; a yield that does not exist is beyond any limit. Where most
 * yields are equal to the last digit there is no spread to measure by, and all are kept.
 */
function yieldLimits(input: ScreenInput, numbers: RuleNumbers, soFar: Uint8Array): Test {
  const kept = pickRows(input.yield_kg_m2, keptRows(soFar));
  if (kept.every((x) => Number.isNaN(x))) return () => true;
  const centre = median(kept);
  const reach = numbers.deviations_max * scaledMad(kept, centre);
  if (!(reach > 0)) return (i) => Number.isNaN(input.yield_kg_m2[i]);
  return (i) => !(Math.abs(input.yield_kg_m2[i] - centre) <= reach);
}
