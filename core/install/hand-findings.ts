/** What turning by hand tells: whether every paddle is seen, and which way the elevator went. */
import type { CheckContext } from './check-context.ts';
import {
  type Evidence,
  type Finding,
  type Judged,
  type NotJudged,
  seriesOf,
  verdictBeyond,
} from './finding.ts';
import type { Passages } from './paddle-passages.ts';
import { type TurnDirection, turnDirection } from './turn-direction.ts';

/** Who turns by hand and counts may be off by two at the ends, and by as much again at turning points. */
const LOOK_OFF = 2;
const LOOK_OFF_SHARE = 0.03;
const MEND_OFF_SHARE = 0.12;

export function handFindings(context: CheckContext): Judged {
  const spells = context.turning.spells.filter(({ how }) => how === 'by_hand');
  const longest = spells.reduce<Passages | undefined>(
    (most, { passages }) =>
      most === undefined || passages.trail_s.length > most.trail_s.length ? passages : most,
    undefined,
  );
  if (longest === undefined || longest.trail_s.length < 4) {
    const why =
      'no paddle in this log passes at the pace of a hand; turn the elevator by hand through one round';
    return {
      findings: [],
      not_judged: [
        { code: 'counted', title: 'Paddles counted by hand', why },
        { code: 'direction', title: 'Direction', why },
      ],
    };
  }
  const seen = spells.reduce((sum, { passages }) => sum + passages.trail_s.length, 0);
  const counted = countedFinding(context, seen, longest);
  const direction = directionFinding(context, longest);
  return {
    findings: [counted, direction].filter((one): one is Finding => 'verdict' in one),
    not_judged: [counted, direction].filter((one): one is NotJudged => 'why' in one),
  };
}

function countedFinding(
  { sheet, turning }: CheckContext,
  seen: number,
  longest: Passages,
): Finding | NotJudged {
  const title = 'Paddles counted by hand';
  const { counted } = sheet;
  if (counted === undefined)
    return {
      code: 'counted',
      title,
      why: `the log shows ${seen} paddles; say how many were counted at the receiver’s light`,
    };
  const off = seen - counted;
  const look = Math.max(LOOK_OFF, LOOK_OFF_SHARE * counted);
  const verdict = verdictBeyond(Math.abs(off), look, Math.max(2 * look, MEND_OFF_SHARE * counted));
  const rocked =
    turning.rocked > 0
      ? `; the beam was opened ${turning.rocked} times by rocking, which is not counted`
      : '';
  return {
    code: 'counted',
    title,
    verdict,
    figure: `${seen} in the log, ${counted} counted${rocked}`,
    evidence: handPicture(longest),
    causes:
      verdict === 'good'
        ? []
        : off < 0
          ? ['miscounted', 'beam_misses_paddles', 'loose_connector', 'signal_wire']
          : ['miscounted', 'double_paddle', 'loose_connector', 'electrical_noise'],
    todo:
      verdict === 'good'
        ? ''
        : 'Turn one round again, slowly, and count at the receiver’s light; where light and paddle disagree, aim the beam.',
  };
}

function handPicture({ trail_s }: Passages): Evidence {
  return {
    title: 'Time between paddles, turned by hand',
    x_label: 's',
    y_label: 's',
    series: [
      seriesOf(
        'paddles',
        'points',
        trail_s.slice(1),
        trail_s.slice(1).map((t_s, i) => t_s - trail_s[i]),
      ),
    ],
    levels: [],
  };
}

const DIRECTION_WORDS: Readonly<Record<TurnDirection, string>> = {
  forward: 'turned by hand the way it runs',
  backward: 'turned by hand against the way it runs',
  untold: 'the log does not tell: paddles look alike from both sides',
};

function directionFinding({ folding }: CheckContext, longest: Passages): Finding | NotJudged {
  const title = 'Direction';
  const { places } = folding;
  if (places === undefined)
    return {
      code: 'direction',
      title,
      why: 'it shows only in the order of odd paddles, which needs three rounds under power',
    };
  const way = turnDirection(longest, places);
  if (way === undefined || way === 'untold') {
    const why =
      way === undefined
        ? 'less than one round was turned by hand'
        : 'an empty paddle looks the same from both sides, and no two odd ones on this chain show the order';
    return { code: 'direction', title, why };
  }
  return {
    code: 'direction',
    title,
    verdict: way === 'backward' ? 'look' : 'good',
    figure: DIRECTION_WORDS[way],
    evidence: undefined,
    causes: way === 'backward' ? ['turned_backward'] : [],
    todo:
      way === 'backward'
        ? 'No harm is done; turned the way it runs, the count shows what harvest shows.'
        : '',
  };
}
