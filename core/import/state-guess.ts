/** Columns that say a state or a name: header switch, quality of the fix, field; and the height above the sea. */
import { headerStateFromCell } from '../read/header-state.ts';
import { type ColumnGuess, guessOf } from './column-guess.ts';
import { type ColumnProfile, MOST_DISTINCT } from './column-profile.ts';
import { topicFit } from './header-words.ts';
import { namedUnit, type UnitFamily } from './unit-guess.ts';

/**
 * Two states in a column whose heading speaks of the header. Which of 0 and 1 is down shows where grain flows: `grain` are
 * the cells of the flow's column (an empty column when there is none).
 */
export function guessHeaderState(profile: ColumnProfile, grain: Float64Array): ColumnGuess[] {
  const fit = topicFit(profile.words, 'header_state');
  if (fit === 0 || profile.distinct < 2) return [];
  const read = (word: string) => Float64Array.from(profile.cells, (cell) => headerStateFromCell(cell, word));
  const asDown = read('1_down');
  const known = asDown.filter((up) => !Number.isNaN(up)).length;
  if (known < 0.9 * profile.cells.length * profile.filledShare) return [];
  const byWord = profile.numberShare < 0.5;
  const share = flowShare(asDown, grain);
  if (byWord) return [guessOf(profile, 'header_state', '1_down', 0.6 + 0.3 * fit, 'up and down in words.')];
  if (Number.isNaN(share)) {
    return [
      guessOf(
        profile,
        'header_state',
        '1_down',
        0.3,
        '0 and 1; which is down does not show, for want of a flow.',
      ),
    ];
  }
  const word = share >= 0.5 ? '1_down' : '1_up';
  const clear = Math.abs(share - 0.5) * 2;
  const which = word === '1_down' ? '1 is down' : '0 is down';
  return [
    guessOf(
      profile,
      'header_state',
      word,
      (0.55 + 0.3 * fit) * (0.4 + 0.6 * clear),
      `${which}, for grain flows then.`,
    ),
  ];
}

/** Share of the grain that flows in rows that are down when 1 is down. */
function flowShare(up: Float64Array, grain: Float64Array): number {
  let down = 0;
  let all = 0;
  up.forEach((state, i) => {
    if (Number.isNaN(state) || !(grain[i] > 0)) return;
    all += grain[i];
    if (state === 0) down += grain[i];
  });
  return all > 0 ? down / all : Number.NaN;
}

/** The receiver's quality codes, 0 (none) to 9, most of them not 0. */
export function guessFixQuality(profile: ColumnProfile): ColumnGuess[] {
  const fit = topicFit(profile.words, 'fix_quality');
  const codes =
    profile.numberShare >= 0.9 && profile.decimals === 0 && profile.least >= 0 && profile.most <= 9;
  const usable = profile.numbers.filter((code) => code > 0).length >= 0.5 * profile.numbers.length;
  if (fit === 0 || !codes || !usable) return [];
  return [
    guessOf(
      profile,
      'fix_quality',
      'code',
      0.4 + 0.35 * fit,
      'codes of 0 to 9 for the quality of the position.',
    ),
  ];
}

/** Few different texts. */
export function guessField(profile: ColumnProfile): ColumnGuess[] {
  const fit = topicFit(profile.words, 'field');
  if (fit === 0 || profile.distinct === 0 || profile.distinct >= MOST_DISTINCT || profile.filledShare < 0.5)
    return [];
  const numbered = profile.numberShare >= 0.9;
  const confidence = (numbered ? 0.4 : 0.6) + 0.35 * fit;
  return [guessOf(profile, 'field', 'name', confidence, `names of fields, ${profile.distinct} different.`)];
}

export function guessAltitude(profile: ColumnProfile, family: UnitFamily): ColumnGuess[] {
  const fit = topicFit(profile.words, 'altitude');
  if (fit === 0 || profile.numberShare < 0.9 || profile.least < -1500 || profile.most > 30_000) return [];
  const named = namedUnit(profile, 'altitude');
  const unit = named ?? (family === 'us' ? 'ft' : 'm');
  const reason =
    named === undefined
      ? `height, in ${unit} like the other lengths of the table.`
      : `height in ${unit} by its heading.`;
  return [guessOf(profile, 'altitude', unit, (named === undefined ? 0.5 : 0.65) + 0.25 * fit, reason)];
}
