/** Applies the screening rules to the points of one field: for each point the first rule that catches it. */
import { SCREENING_RULES } from '../result.ts';
import type { ScreeningRule } from '../season.ts';
import { median, scaledMad } from '../stats/quantiles.ts';
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
}

type Test = (i: number) => boolean;

/** 0 where kept, else 1 + index into `SCREENING_RULES`. Rules that are not in force catch nothing. */
export function screenPoints(
  input: ScreenInput,
  rules: Readonly<Partial<Record<ScreeningRule, RuleNumbers>>>,
): Uint8Array {
  const n = input.pass.length;
  const screened_by = new Uint8Array(n);
  SCREENING_RULES.forEach((name, index) => {
    const numbers = rules[name];
    if (numbers === undefined) return;
    const caught = testOf(name, input, numbers, screened_by);
    for (let i = 0; i < n; i++) if (screened_by[i] === 0 && caught(i)) screened_by[i] = index + 1;
  });
  return screened_by;
}

function testOf(name: ScreeningRule, input: ScreenInput, numbers: RuleNumbers, soFar: Uint8Array): Test {
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
    case 'ramp':
      return (i) => input.near_end[i] === 1 && Math.abs(input.mismatch[i]) > numbers.mismatch_max;
    case 'slow':
      return (i) => input.speed_m_s[i] < numbers.speed_min_m_s;
    case 'speed_jump':
      return (i) => Math.abs(input.mismatch[i]) > numbers.mismatch_max || jump(input, i) > numbers.change_max;
    case 'narrow_cut':
      return (i) => input.width_share[i] < numbers.share_min || !(input.fresh_area_m2[i] > 0);
    case 'yield_limits':
      return yieldLimits(input, numbers, soFar);
  }
}

/** Relative change of speed from the point before in the same pass. */
function jump(input: ScreenInput, i: number): number {
  if (i === 0 || input.machine[i - 1] !== input.machine[i] || input.pass[i - 1] !== input.pass[i]) return 0;
  return Math.abs(input.speed_m_s[i] - input.speed_m_s[i - 1]) / Math.max(0.1, input.speed_m_s[i]);
}

/** Robust limits from the points that no rule has caught yet; a yield that does not exist is beyond any limit. */
function yieldLimits(input: ScreenInput, numbers: RuleNumbers, soFar: Uint8Array): Test {
  const kept: number[] = [];
  for (let i = 0; i < soFar.length; i++) {
    if (soFar[i] === 0 && !Number.isNaN(input.yield_kg_m2[i])) kept.push(input.yield_kg_m2[i]);
  }
  if (kept.length === 0) return () => true;
  const centre = median(kept);
  const reach = numbers.deviations_max * scaledMad(kept, centre);
  return (i) => !(Math.abs(input.yield_kg_m2[i] - centre) <= reach);
}
