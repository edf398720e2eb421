/** Applies the screening rules to the points of one field: for each point the first rule that catches it. */
import { pickRows } from '../columns.ts';
import { SCREENING_RULES } from '../result.ts';
import type { ScreeningRule } from '../season.ts';
import { median, scaledMad } from '../stats/quantiles.ts';
import { fillBetween } from './between-outliers.ts';
import { elsewhere } from './elsewhere.ts';
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
  const screened_by = new Uint8Array(input.pass.length);
  const caught = new Uint8Array(screened_by.length);
  SCREENING_RULES.forEach((name, index) => {
    const numbers = rules[name];
    if (numbers === undefined) return;
    caught.fill(0);
    TESTS[name]({ ...input, by_hand }, numbers, { caught, soFar: screened_by });
    for (let i = 0; i < caught.length; i++) {
      if (screened_by[i] === 0 && caught[i] !== 0) screened_by[i] = index + 1;
    }
  });
  if (rules.outside_field !== undefined) giveToOutside(screened_by, elsewhere(input));
  return screened_by;
}

/** What was not cut on ground of somebody else counts as outside, like what was cut there. */
function giveToOutside(screened_by: Uint8Array, isElsewhere: Uint8Array): void {
  const notCutting = SCREENING_RULES.indexOf('not_cutting') + 1;
  const outside = SCREENING_RULES.indexOf('outside_field') + 1;
  for (let i = 0; i < screened_by.length; i++) {
    if (screened_by[i] === notCutting && isElsewhere[i] === 1) screened_by[i] = outside;
  }
}

/** Where a rule writes what it catches (1, whether or not another rule has caught it before), and what was caught before it. */
interface Marks {
  readonly caught: Uint8Array;
  readonly soFar: Uint8Array;
}

type Test = (
  input: ScreenInput & { readonly by_hand: Uint8Array },
  numbers: RuleNumbers,
  marks: Marks,
) => void;

/** Each with a loop of its own over plain columns: a call for every point and rule would take longer than all of them. */
const TESTS: Readonly<Record<ScreeningRule, Test>> = {
  not_cutting({ pass }, _, { caught }) {
    for (let i = 0; i < caught.length; i++) if (pass[i] < 0) caught[i] = 1;
  },
  outside_field({ outside }, _, { caught }) {
    caught.set(outside);
  },
  no_fix({ no_fix, position_se_m, duration_s }, { position_se_max_m, gap_max_s }, { caught }) {
    for (let i = 0; i < caught.length; i++) {
      if (no_fix[i] === 1 || !(position_se_m[i] <= position_se_max_m) || duration_s[i] > gap_max_s)
        caught[i] = 1;
    }
  },
  by_hand({ by_hand }, _, { caught }) {
    caught.set(by_hand);
  },
  ramp({ near_end, mismatch }, { mismatch_max }, { caught }) {
    for (let i = 0; i < caught.length; i++)
      if (near_end[i] === 1 && Math.abs(mismatch[i]) > mismatch_max) caught[i] = 1;
  },
  slow({ speed_m_s }, { speed_min_m_s }, { caught }) {
    for (let i = 0; i < caught.length; i++) if (speed_m_s[i] < speed_min_m_s) caught[i] = 1;
  },
  short_pass(input, { distance_min_m }, { caught }) {
    const length_m = passLengths(input);
    for (let i = 0; i < caught.length; i++) if (length_m[i] < distance_min_m) caught[i] = 1;
  },
  speed_jump(input, { mismatch_max, change_max }, { caught }) {
    const { mismatch } = input;
    const change = speedChanges(input);
    for (let i = 0; i < caught.length; i++)
      if (Math.abs(mismatch[i]) > mismatch_max || change[i] > change_max) caught[i] = 1;
  },
  narrow_cut({ width_share, fresh_area_m2 }, { share_min }, { caught }) {
    for (let i = 0; i < caught.length; i++)
      if (width_share[i] < share_min || !(fresh_area_m2[i] > 0)) caught[i] = 1;
  },
  flow_range({ fill }, { fill_max }, { caught }) {
    for (let i = 0; i < caught.length; i++) if (fill[i] > fill_max) caught[i] = 1;
  },
  /** Around the median of the points that no rule has caught yet; never nearer than the least difference. */
  moisture_range({ moisture_pct }, { difference_min_pct, deviations_max }, { caught, soFar }) {
    const kept = pickRows(moisture_pct, keptRows(soFar));
    const centre = median(kept);
    const reach = Math.max(difference_min_pct, deviations_max * scaledMad(kept, centre));
    for (let i = 0; i < caught.length; i++) if (Math.abs(moisture_pct[i] - centre) > reach) caught[i] = 1;
  },
  /**
   * Robust limits from the points that no rule has caught yet; a yield that does not exist is beyond any limit. Where most
   * yields are equal to the last digit there is no spread to measure by, and all are kept.
   */
  yield_limits({ yield_kg_m2 }, { deviations_max }, { caught, soFar }) {
    const kept = pickRows(yield_kg_m2, keptRows(soFar));
    const centre = median(kept);
    const spread = deviations_max * scaledMad(kept, centre);
    const reach = spread > 0 ? spread : Number.POSITIVE_INFINITY;
    for (let i = 0; i < caught.length; i++) if (!(Math.abs(yield_kg_m2[i] - centre) <= reach)) caught[i] = 1;
  },
  local_outlier(input, numbers, { caught, soFar }) {
    const rows = keptRows(soFar);
    const cell_m = numbers.reach_headers * median(input.header_width_m);
    caught.set(localOutliers(input, rows, { cell_m, deviations_max: numbers.deviations_max }));
    if (numbers.moran_p_max > 0) {
      const unlike = moranOutliers(input, rows, numbers.moran_p_max);
      for (let i = 0; i < unlike.length; i++) caught[i] |= unlike[i];
    }
    markThose(caught, soFar, 'yield_limits');
    fillBetween(input, caught, numbers.between_s);
  },
};

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

/** Relative change of speed from the machine's point before in the same pass; 0 at the start of a pass. */
function speedChanges({ machine, pass, speed_m_s }: ScreenInput): Float64Array {
  const change = new Float64Array(pass.length);
  /** By machine; machines are few, and numbered from 0. */
  const latest: number[] = [];
  for (let i = 0; i < pass.length; i++) {
    const before = latest[machine[i]];
    latest[machine[i]] = i;
    if (before === undefined || pass[before] !== pass[i]) continue;
    change[i] = Math.abs(speed_m_s[i] - speed_m_s[before]) / Math.max(CREEPING_M_S, speed_m_s[i]);
  }
  return change;
}
