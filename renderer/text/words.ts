/** The window's words for what the chain names in code. */

import type { DamageKind } from '../../core/errors.ts';
import { RULE_WORDS } from '../../core/export/report/rule-marks.ts';
import type { ScreeningRule } from '../../core/season.ts';

/** Said beside every total. */
export const LEGAL_LINE = 'Estimate, not legal for trade';

/** `ends_of_passes` → `ends of passes` */
export function plain(code: string): string {
  return code.replaceAll('_', ' ');
}

/** `corn` → `Corn` */
export function capitalised(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** `1 file`, `3 files` */
export function counted(count: number, one: string, many = `${one}s`): string {
  return `${count.toLocaleString()} ${count === 1 ? one : many}`;
}

export function ruleWords(rule: string): string {
  return RULE_WORDS[rule as ScreeningRule] ?? plain(rule);
}

/** Kinds of damage: what was found, and what the program did about it. */
export const DAMAGE_WORDS: Readonly<Record<DamageKind, readonly [found: string, done: string]>> = {
  truncated_last_line: ['last line cut off', 'passed over'],
  nul_bytes: ['runs of empty bytes', 'passed over; power was lost while writing'],
  unreadable_line: ['unreadable lines', 'passed over'],
  line_too_long: ['lines too long to be one', 'passed over'],
  out_of_order: ['lines out of the order of time', 'put in order'],
  repeated_line: ['lines written twice', 'counted once'],
  bad_checksum: ['sentences with a wrong checksum', 'not believed'],
  missing_checksum: ['sentences without a checksum', 'read with care'],
  missing_edge: ['beam edges missing', 'filled from the paddles around'],
  skipped_sentence: ['sentences of kinds not needed', 'skipped'],
  bad_fix: ['fixes without a valid position', 'bridged'],
  bad_number: ['numbers that cannot be', 'left empty'],
};

const MODEL_WORDS: Readonly<Record<string, string>> = {
  gain: 'one gain',
  gain_zero: 'gain and zero error',
  gain_curvature: 'gain that bends with flow',
  gain_moisture: 'gain that changes with moisture',
  gain_test_weight: 'gain that changes with test weight',
  carried_over: 'gain carried over',
  uncalibrated: 'not calibrated',
};

export function modelWords(model: string): string {
  return MODEL_WORDS[model] ?? plain(model);
}

const METHOD_WORDS: Readonly<Record<string, string>> = {
  ends_of_passes: 'from the ends of passes',
  neighbour_agreement: 'from neighbouring passes',
  entered: 'entered by hand',
  as_logged: 'as logged',
  assumed: 'assumed: the data cannot tell',
};

export function methodWords(method: string): string {
  return METHOD_WORDS[method] ?? plain(method);
}

/** `position_se_max_m` → `position se max` and `m` */
export function keyWords(key: string): { readonly words: string; readonly unit: string } {
  const known = RULE_NUMBER_WORDS[key];
  return known === undefined ? { words: plain(key), unit: '' } : { words: known[0], unit: known[1] };
}

const RULE_NUMBER_WORDS: Readonly<Record<string, readonly [string, string]>> = {
  position_se_max_m: ['position error, at most', 'm'],
  gap_max_s: ['bridged gap, at most', 's'],
  mismatch_max: ['part from other ground, at most', 'of 1'],
  speed_min_m_s: ['speed, at least', 'm/s'],
  change_max: ['change between fixes, at most', 'of 1'],
  share_min: ['share of the header, at least', 'of 1'],
  distance_min_m: ['length of a pass, at least', 'm'],
  fill_max: ['heaps, share of the pitch, at most', 'of 1'],
  difference_min_pct: ['difference always let pass', 'points'],
  reach_headers: ['ground around, header widths', '×'],
  deviations_max: ['deviations from the median, at most', '×'],
  between_s: ['stretch between two outliers, at most', 's'],
  moran_p_max: ['probability by local Moran’s index (0: not asked)', 'of 1'],
};
