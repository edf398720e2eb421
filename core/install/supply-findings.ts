/** Supply, logger and file: restarts, silences of everything at once, damaged lines. */
import { lowerBound } from '../columns.ts';
import type { DamageKind } from '../errors.ts';
import type { CheckContext } from './check-context.ts';
import { type Finding, graver, type Judged, seriesOf, verdictBeyond } from './finding.ts';

/** Nothing at all for so long, with the receiver speaking before and after, s. */
const SILENCE_S = 3;
/** A receiver that spoke less says nothing by its silence. */
const FEWEST_SENTENCES = 20;
/** The beam is silent with the receiver when it is so for this share of the time: its silence begins between two sentences. */
const MOST_OF_IT = 0.6;
/** Shares of damaged lines. */
const LOOK_DAMAGED = 0.004;
const MEND_DAMAGED = 0.04;
/** Sentences that arrive damaged cost fixes, not grain: more of them are borne. */
const MEND_DAMAGED_SENTENCES = 0.25;
const HARMLESS: ReadonlySet<DamageKind> = new Set<DamageKind>([
  'skipped_sentence',
  'bad_fix',
  'missing_edge',
  'truncated_last_line',
  'out_of_order',
]);
const OF_THE_LINE: ReadonlySet<DamageKind> = new Set<DamageKind>(['bad_checksum', 'missing_checksum']);

export function supplyFindings(context: CheckContext): Judged {
  return { findings: [supply(context), fileDamage(context)], not_judged: [] };
}

function supply(context: CheckContext): Finding {
  const { log, timeline } = context;
  const restarts = log.runs.length - 1;
  const silences = silencesOf(context);
  const verdict = graver(verdictBeyond(restarts, 0, 1), verdictBeyond(silences.length, 0, 2));
  return {
    code: 'supply',
    title: 'Supply',
    verdict,
    figure: `${plural(restarts, 'restart')} of the logger, ${plural(silences.length, 'silence')} of everything`,
    evidence: {
      title: 'Restarts and silences',
      x_label: 's',
      y_label: 's without a line',
      series: [
        seriesOf(
          'restarts',
          'points',
          timeline.run_s.slice(1).map(({ from_s }) => from_s),
          timeline.run_s.slice(1).map(() => 1),
        ),
        seriesOf(
          'silences',
          'bars',
          silences.map(({ from_s }) => from_s),
          silences.map(({ from_s, to_s }) => to_s - from_s),
        ),
      ],
      levels: [],
    },
    causes:
      verdict === 'good'
        ? []
        : restarts > 0
          ? ['supply_dropouts', 'loose_connector', 'logger_storage']
          : ['logger_storage', 'supply_dropouts'],
    todo:
      verdict === 'good'
        ? ''
        : restarts > 0
          ? 'Measure the supply at the logger while the engine is cranked and while the loom is shaken; feed it where the voltage stays.'
          : 'Try another card, formatted in the logger; look for lines lost in long files.',
  };
}

function plural(count: number, word: string): string {
  return `${count} ${word}${count === 1 ? '' : 's'}`;
}

/**
 * Stretches in which the receiver was silent and the beam, which ought to have shown paddles, too. While the elevator stands
 * the beam says nothing anyway: then it is the receiver's silence alone where that was met with paddles going on.
 */
function silencesOf({ timeline, turning }: CheckContext): { from_s: number; to_s: number }[] {
  const { sentence_s, t_s, run_s } = timeline;
  if (sentence_s.length < FEWEST_SENTENCES) return [];
  const found: { from_s: number; to_s: number }[] = [];
  let ofReceiver = 0;
  let ofAll = 0;
  for (let i = 1; i < sentence_s.length; i++) {
    const [from_s, to_s] = [sentence_s[i - 1], sentence_s[i]];
    if (to_s - from_s <= SILENCE_S || !run_s.some((run) => from_s >= run.from_s && to_s <= run.to_s))
      continue;
    const under = turning.spells.some(
      (spell) => spell.how === 'under_power' && from_s >= spell.from_s && to_s <= spell.to_s,
    );
    if (longestWithoutEdge(t_s, from_s, to_s) < MOST_OF_IT * (to_s - from_s)) ofReceiver++;
    else {
      if (under) ofAll++;
      found.push({ from_s, to_s });
    }
  }
  return ofReceiver > 0 && ofAll === 0 ? [] : found;
}

function longestWithoutEdge(t_s: Float64Array, from_s: number, to_s: number): number {
  let before_s = from_s;
  let longest_s = 0;
  for (let i = lowerBound(t_s, from_s); i < t_s.length && t_s[i] < to_s; i++) {
    longest_s = Math.max(longest_s, t_s[i] - before_s);
    before_s = t_s[i];
  }
  return Math.max(longest_s, to_s - before_s);
}

function fileDamage({ log }: CheckContext): Finding {
  const counted = log.damage.filter(({ kind }) => !HARMLESS.has(kind));
  const total = counted.reduce((sum, { count }) => sum + count, 0);
  const ofLine = counted.reduce((sum, { kind, count }) => sum + (OF_THE_LINE.has(kind) ? count : 0), 0);
  const share = log.lines > 0 ? total / log.lines : 0;
  const isOfLine = ofLine > total / 2;
  // a handful is nothing, however short the log
  const verdict =
    total <= 3
      ? 'good'
      : verdictBeyond(share, LOOK_DAMAGED, isOfLine ? MEND_DAMAGED_SENTENCES : MEND_DAMAGED);
  return {
    code: 'file_damage',
    title: 'Lines of the file',
    verdict,
    figure: `${total} of ${log.lines} lines damaged (${(100 * share).toFixed(2)} %)`,
    evidence: undefined,
    causes:
      verdict === 'good'
        ? []
        : isOfLine
          ? ['serial_noise', 'electrical_noise', 'gps_setup']
          : ['logger_storage', 'supply_dropouts'],
    todo:
      verdict === 'good'
        ? ''
        : isOfLine
          ? 'Sentences arrive damaged: check baud rate, common earth and the shield of the receiver’s cable.'
          : 'Copy the file again; then try another card, formatted in the logger.',
  };
}
