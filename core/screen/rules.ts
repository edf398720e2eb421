/**
 * The screening rules: one sentence on why, numbers with their defaults and sources. Points are never deleted; the first
 * rule in the order of `SCREENING_RULES` (result.ts) that catches a point gives its reason.
 *
 * To add a rule: its name in `ScreeningRule` (season.ts), its place in `SCREENING_RULES`, its entry here, its test in
 * `screen.ts`.
 */
import type { ScreeningRule, SettingsSheet } from '../season.ts';

export interface RuleDefinition {
  /** One sentence on why such points say little about the crop. */
  readonly why: string;
  /** The rule's numbers: name with unit → default. */
  readonly numbers: Readonly<Record<string, number>>;
  /** Where the defaults come from. */
  readonly source: string;
}

export const RULES = {
  not_cutting: {
    why: 'The header was up or the machine was turning or travelling: no crop was being cut.',
    numbers: {},
    source: 'header switch, or speed, turn rate and flow',
  },
  outside_field: {
    why: 'The middle of the header was outside the boundary of the field.',
    numbers: {},
    source: 'the boundary file',
  },
  no_fix: {
    why: 'The position is missing, was bridged over a long dropout, or is too uncertain to say which ground this was.',
    numbers: { position_se_max_m: 3, gap_max_s: 5 },
    source: 'a third of a 9 m header; common practice, no source',
  },
  by_hand: {
    why: 'Somebody who knows this ground left it out by hand.',
    numbers: {},
    source: 'the exclusions of the season sheet',
  },
  ramp: {
    why: 'At the start and end of a pass the machine is still filling or already running out, so the flow does not belong to the ground under the header.',
    numbers: { mismatch_max: 0.05 },
    source: 'response of the estimated mixing to the ground really cut; 5 % of the yield',
  },
  slow: {
    why: 'Standing or creeping: grain is divided by next to no distance.',
    numbers: { speed_min_m_s: 0.5 },
    source: 'common practice, no source',
  },
  short_pass: {
    why: 'In so short a pass the machine never reaches a steady flow.',
    numbers: { distance_min_m: 20 },
    source:
      'short segments are left out in published protocols [Simbahan2004], whose length is not in the summary; two headers of 10 m',
  },
  speed_jump: {
    why: 'The speed or the cut width changed faster than grain can follow, so the flow belongs partly to other ground.',
    numbers: { mismatch_max: 0.12, change_max: 0.2 },
    source: 'speed change of 15–20 % between fixes is commonly used in studies (from memory)',
  },
  narrow_cut: {
    why: 'Only a small part of the header was in uncut crop, where a few centimetres decide over the yield.',
    numbers: { share_min: 0.33 },
    source: 'a third to a half of the header is commonly used in studies (from memory)',
  },
  flow_range: {
    why: 'Heaps reached from paddle to paddle: more grain came than the beam can see.',
    numbers: { fill_max: 0.85 },
    source: 'a beam dark for 97 % of the period, less a tenth for the paddle itself; by geometry',
  },
  moisture_range: {
    why: 'The moisture is far from that of the rest of the field, and with it the yield at standard moisture.',
    numbers: { deviations_max: 6, difference_min_pct: 3 },
    source: 'median ± robust deviations, never within 3 points of the median; common practice, no source',
  },
  yield_limits: {
    why: 'The yield is beyond what the rest of the field makes believable.',
    numbers: { deviations_max: 5 },
    source:
      'median ± robust deviations; mean ± 3 SD in published work is tighter and cuts true extremes of skewed fields',
  },
  local_outlier: {
    why: 'The yield differs from that of the ground around it by more than neighbours do in this field.',
    numbers: { deviations_max: 5, reach_headers: 1.5, between_s: 6, moran_p_max: 0 },
    source:
      'median-based local filters [Maldaner2022, Leroux2018] across several passes; robust deviations of this field, and stretches between two outliers over twice a mixing of 3 s, ours; local Moran’s index [Anselin1995] where a probability above 0 is entered',
  },
} as const satisfies Record<ScreeningRule, RuleDefinition>;

export type RuleNumbers = Readonly<Record<string, number>>;

/** The rules in force: defaults overlaid with the sheet's numbers; undefined where a rule is switched off. */
export function rulesInForce(
  screening: SettingsSheet['screening'],
): Readonly<Partial<Record<ScreeningRule, RuleNumbers>>> {
  const inForce: Partial<Record<ScreeningRule, RuleNumbers>> = {};
  for (const name of Object.keys(RULES) as ScreeningRule[]) {
    const sheet = screening?.[name];
    if (sheet?.on === false) continue;
    const numbers: Record<string, number> = { ...RULES[name].numbers };
    for (const key of Object.keys(numbers)) {
      const entered = sheet?.[key];
      if (typeof entered === 'number') numbers[key] = entered;
    }
    inForce[name] = numbers;
  }
  return inForce;
}
