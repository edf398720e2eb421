/** What is said about the logs of a beam: notices on what was found and mended, and the errors that leave no result. */
import type { DataError, Notice, Severity } from '../errors.ts';
import type { MachineSheet } from '../season.ts';
import type { ClockMatch } from './clock-match.ts';
import type { PaddleCounts } from './paddles.ts';
import { type BridgedPaddles, RESTART_MAX_S } from './restarts.ts';

/** More flicker than this share of the paddles, or more lost paddles than that, want a look. */
export const MUCH_CHATTER_SHARE = 0.2;
export const MANY_LOST_SHARE = 0.01;
/** Less bridged time than this is not worth a word, s. */
const WORTH_A_WORD_S = 1;

function notice(code: string, severity: Severity, source: string, count: number, text: string): Notice {
  return { code, severity, source, count, text: `${source}: ${text}` };
}

/** A run of edges that neither GPS time, anchor nor pattern lays on the clock; `fixes` of its own have no date. */
export function noClock(source: string, fixes: number): Notice {
  const why =
    fixes === 0
      ? 'this beam file has no GPS time in it'
      : 'the GPS sentences in this log carry no date (GGA alone has none)';
  const mend =
    fixes === 0 ? 'Add the log that holds its GPS' : 'Let the receiver send RMC or ZDA sentences too';
  return notice(
    'beam_without_clock',
    'mend',
    source,
    1,
    `${why} and its work and rest fit none of the fixes, so it was left out. ${mend}, or enter "tick_zero_utc" for this log in season.json.`,
  );
}

export function clockByPattern(source: string, { agreement, drift, end_se_s }: ClockMatch): Notice {
  const lengthwise = !Number.isFinite(end_se_s)
    ? 'Too little of it overlaps to tell whether its counter drifts; times at its ends may be off by seconds.'
    : drift === 0
      ? `No drift of its counter was seen (its ends are good to ${Math.max(1, end_se_s).toFixed(0)} s).`
      : `Its counter drifts by ${(1e6 * drift).toFixed(0)} parts per million, which was corrected.`;
  return notice(
    'clock_by_pattern',
    'look',
    source,
    1,
    `this beam file has no GPS time in it; it was laid on the fixes by its pattern of work and rest (agreement ${(100 * agreement).toFixed(0)} %). The transport lag reported for it includes what is left of the offset. ${lengthwise}`,
  );
}

/** What the paddles themselves give to think about. */
export function paddleNotices(counts: readonly PaddleCounts[], source: string): Notice[] {
  const sum = (key: keyof PaddleCounts) => counts.reduce((total, one) => total + one[key], 0);
  const paddles = sum('paddles');
  const notices: Notice[] = [];
  const chatter = sum('lit_gaps_bridged') + sum('dark_blips_dropped');
  if (chatter > 0) {
    notices.push(
      notice(
        'chatter_removed',
        chatter > MUCH_CHATTER_SHARE * paddles ? 'look' : 'info',
        source,
        chatter,
        `${chatter} flickers of the beam too short to be a paddle were removed (${((100 * chatter) / paddles).toFixed(1)} for every 100 paddles).`,
      ),
    );
  }
  const lost = sum('missed') + sum('hidden');
  if (lost > 0) {
    notices.push(
      notice(
        'paddles_missed',
        lost > MANY_LOST_SHARE * paddles ? 'look' : 'info',
        source,
        lost,
        `${lost} of ${paddles} paddles were missed or lost an edge; their grain was filled in from their neighbours.`,
      ),
    );
  }
  return notices;
}

/** Paddles at times that earlier ones had passed: they cannot be told from the same grain seen twice. */
export function pastPaddles(count: number, source: string): Notice[] {
  if (count === 0) return [];
  const text = `${count} paddles lie at times for which there were paddles already, because the receiver's clock was put back or two files cover the same time; they were left out of all totals.`;
  return [notice('paddles_out_of_time', 'look', source, count, text)];
}

export function restartNotices({ bridged_s, left_open }: BridgedPaddles, source: string): Notice[] {
  const notices: Notice[] = [];
  if (bridged_s >= WORTH_A_WORD_S) {
    const text = `the logger started anew or changed files while the elevator ran; ${bridged_s.toFixed(1)} s without beam data were filled in from the paddles on either side.`;
    notices.push(notice('restart_bridged', 'info', source, 1, text));
  }
  if (left_open > 0) {
    const silences = left_open === 1 ? 'is a silence' : `are ${left_open} silences`;
    const text = `between its files there ${silences} of more than ${RESTART_MAX_S} s; grain that passed then is in no total.`;
    notices.push(notice('log_gap', 'info', source, left_open, text));
  }
  return notices;
}

export function reversedHeader(source: string): Notice {
  return notice(
    'header_switch_reversed',
    'look',
    source,
    1,
    'grain comes while the header is logged as up and stops while it is logged as down, so the switch is wired the other way round; it was read reversed.',
  );
}

export function invertedBeam(source: string): Notice {
  return notice(
    'beam_inverted',
    'look',
    source,
    1,
    'the edges logged as dark come at even intervals, as steel does, and those logged as lit do not, so the beam is logged inverted (1 for lit); it was read the other way round.',
  );
}

export function noPaddleSheet(sheet: Pick<MachineSheet, 'id'>): DataError {
  return {
    code: 'no_paddle_sheet',
    source: 'season.json',
    text: `season.json: machine "${sheet.id}" has beam logs but no "paddle" (pitch_mm, width_mm, depth_mm, thickness_mm). Measure one paddle and enter it.`,
  };
}

export function noFixes(source: string): DataError {
  return {
    code: 'no_fixes',
    source,
    text: `${source}: there is not one GPS position in it, so nothing can be put on a map. Check the receiver's cable and baud rate, or add the file that holds the positions to the same log entry.`,
  };
}

/** Damage that leaves a log without positions. */
const POSITION_DAMAGE = ['bad_fix', 'bad_checksum', 'missing_checksum', 'out_of_order'];

/** The error, and where a log has no positions, what was found in their place while it was read. */
export function withReason(error: DataError, read: readonly Notice[]): DataError {
  if (error.code !== 'no_fixes') return error;
  const found = read
    .filter(({ code, source }) => POSITION_DAMAGE.includes(code) && source === error.source)
    .sort((a, b) => b.count - a.count)[0];
  if (found === undefined) return error;
  return { ...error, text: `${error.text} Found instead: ${found.text.replace(`${found.source}: `, '')}` };
}

/** The log holds no edge at all (`edges` 0), or too few to be paddles. */
export function noEdges(source: string, edges: number): DataError {
  const text =
    edges === 0
      ? `${source}: there is no beam edge in it, so no paddle was seen. Add the file that holds the beam to the same log entry, or check the plug of the beam at the logger.`
      : `${source}: the beam hardly ever changed, so no paddle was seen. A beam that is always dark or always lit means a misaligned or dirty sensor, a loose plug or an elevator that did not run.`;
  return { code: 'no_edges', source, text };
}
