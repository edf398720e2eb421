/** What running empty under power tells: speed, evenness, empty level against geometry, and the chain's signature. */
import { median, quantile } from '../stats/quantiles.ts';
import { NO_POWER } from './beam-findings.ts';
import type { CauseCode } from './causes.ts';
import type { OddPlace } from './chain-places.ts';
import type { CheckContext } from './check-context.ts';
import {
  type Evidence,
  type Finding,
  graver,
  type Judged,
  type NotJudged,
  seriesOf,
  type Verdict,
  verdictBeyond,
} from './finding.ts';

/** Chains run at 1.5 to 3 m/s (common practice, no source); wider, for machines differ. */
const USUAL_SPEED_M_S = [1, 3.6] as const;
const POSSIBLE_SPEED_M_S = [0.5, 5] as const;
/** Against another measure of the speed, %. */
const LOOK_SPEED_PCT = 4;
const MEND_SPEED_PCT = 15;
/** Robust scatter of single periods, %. */
const LOOK_JITTER_PCT = 1.8;
const MEND_JITTER_PCT = 7;
/** Off geometry, mm of chain: the thickness of a paddle and the beam's height are known to a few. */
const LOOK_LEVEL_MM = 4;
const MEND_LEVEL_MM = 13;
/** Scatter of the dark length of one paddle from round to round, mm. */
const LOOK_SCATTER_MM = 2;
const MEND_SCATTER_MM = 9;

export function chainFindings(context: CheckContext): Judged {
  if (!(context.running.running_s > 15)) {
    const titles = [
      ['chain_speed', 'Chain speed'],
      ['period_jitter', 'Evenness of the paddles'],
      ['empty_level', 'Empty level'],
      ['signature', 'Chain signature'],
    ] as const;
    return { findings: [], not_judged: titles.map(([code, title]) => ({ code, title, why: NO_POWER })) };
  }
  if (carriesGrain(context.running)) {
    const titles = [
      ['empty_level', 'Empty level'],
      ['dark_scatter', 'Steadiness of the dark length'],
      ['signature', 'Chain signature'],
    ] as const;
    return {
      findings: [chainSpeed(context), jitter(context)],
      not_judged: titles.map(([code, title]) => ({ code, title, why: LOADED })),
    };
  }
  const judged = [signature(context), paddleCount(context)];
  return {
    findings: [
      chainSpeed(context),
      jitter(context),
      emptyLevel(context),
      scatter(context),
      ...judged.filter((one): one is Finding => 'verdict' in one),
    ],
    not_judged: judged.filter((one): one is NotJudged => 'why' in one),
  };
}

const LOADED = 'grain was on the paddles; take a log of two minutes in which the elevator runs empty';
/** Grain: the middle of the dark shares spans so much of the pitch, … */
const GRAIN_SPAN = 0.08;
/** … and from one paddle to the next they differ by so much less, for grain comes and goes in seconds. */
const GRAIN_SMOOTH = 0.35;

function carriesGrain({ stretches }: CheckContext['running']): boolean {
  const dark = stretches.flatMap((stretch) => [...stretch.dark].filter((d) => !Number.isNaN(d)));
  const span = quantile(dark, 0.9) - quantile(dark, 0.1);
  const steps = dark.slice(1).map((d, i) => Math.abs(d - dark[i]));
  return span > GRAIN_SPAN && median(steps) < GRAIN_SMOOTH * 0.5 * span;
}

function chainSpeed({ running, sheet }: CheckContext): Finding {
  const speed = (1e-3 * sheet.paddle.pitch_mm) / running.period_s;
  const { chain_speed_m_s: known } = sheet;
  const off_pct = known === undefined ? 0 : 100 * (speed / known - 1);
  const isWithin = ([least, most]: readonly [number, number]) => speed >= least && speed <= most;
  const plausible: Verdict = isWithin(USUAL_SPEED_M_S)
    ? 'good'
    : isWithin(POSSIBLE_SPEED_M_S)
      ? 'look'
      : 'mend';
  const verdict = graver(plausible, verdictBeyond(Math.abs(off_pct), LOOK_SPEED_PCT, MEND_SPEED_PCT));
  const against = known === undefined ? '' : `; ${known.toFixed(2)} m/s by the other measure`;
  const shown = running.stretches.flatMap(({ t_s }) => [...t_s].map((t, k) => [t, t - t_s[k - 1]] as const));
  return {
    code: 'chain_speed',
    title: 'Chain speed',
    verdict,
    figure: `${speed.toFixed(2)} m/s, a paddle every ${(1000 * running.period_s).toFixed(0)} ms${against}`,
    evidence: {
      title: 'Time between paddles under power',
      x_label: 's',
      y_label: 'ms',
      series: [
        seriesOf(
          'paddles',
          'points',
          shown.map(([t]) => t),
          shown.map(([, period]) => 1000 * period),
        ),
      ],
      levels: [{ name: 'usual', y: 1000 * running.period_s }],
    },
    causes: verdict === 'good' ? [] : ['pitch_typed', 'slipping_drive', 'double_paddle'],
    todo:
      verdict === 'good'
        ? ''
        : 'Measure the pitch again over ten paddles, engine off, key out, and the speed of the shaft.',
  };
}

function jitter({ running }: CheckContext): Finding {
  const jitter_pct = 100 * 1.4826 * median(running.period_ratio.map((ratio) => Math.abs(ratio - 1)));
  const verdict = verdictBeyond(jitter_pct, LOOK_JITTER_PCT, MEND_JITTER_PCT);
  return {
    code: 'period_jitter',
    title: 'Evenness of the paddles',
    verdict,
    figure: `times between paddles scatter by ${jitter_pct.toFixed(2)} %`,
    evidence: histogram(running.period_ratio),
    causes: verdict === 'good' ? [] : ['slack_chain', 'loose_bracket', 'slipping_drive'],
    todo:
      verdict === 'good'
        ? ''
        : 'Engine off, key out: tighten the chain as the maker says, look at the wheels, and shake the sensor’s bracket.',
  };
}

function histogram(ratio: Float64Array): Evidence {
  const BIN = 0.005;
  const counts = new Map<number, number>();
  for (const r of ratio) {
    const bin = Math.round((r - 1) / BIN);
    counts.set(bin, (counts.get(bin) ?? 0) + 1);
  }
  const bins = [...counts.keys()].sort((a, b) => a - b);
  return {
    title: 'Times between paddles against the running one',
    x_label: '% off',
    y_label: 'paddles',
    series: [
      seriesOf(
        'paddles',
        'bars',
        bins.map((bin) => 100 * bin * BIN),
        bins.map((bin) => counts.get(bin) ?? 0),
      ),
    ],
    levels: [],
  };
}

const LONGER: readonly CauseCode[] = ['dirty_lens', 'thickness_typed', 'pitch_typed', 'misaligned', 'chaff'];
const MUCH_LONGER: readonly CauseCode[] = ['thickness_typed', 'dirty_lens', 'pitch_typed', 'misaligned'];
const SHORTER: readonly CauseCode[] = [
  'beam_misses_paddles',
  'thickness_typed',
  'pitch_typed',
  'worn_paddle',
];
const MUCH_SHORTER: readonly CauseCode[] = ['thickness_typed', 'beam_misses_paddles', 'pitch_typed'];

function emptyLevel({ folding, sheet, geometry, running }: CheckContext): Finding {
  const { pitch_mm } = sheet.paddle;
  const seen_mm = folding.dark_median * pitch_mm;
  const off_mm = seen_mm - geometry * pitch_mm;
  const verdict = verdictBeyond(Math.abs(off_mm), LOOK_LEVEL_MM, MEND_LEVEL_MM);
  const much = verdict === 'mend';
  const causes = off_mm > 0 ? (much ? MUCH_LONGER : LONGER) : much ? MUCH_SHORTER : SHORTER;
  const shown = running.stretches.flatMap(({ t_s, dark }) =>
    [...t_s].map((t, k) => [t, dark[k] * pitch_mm] as const),
  );
  return {
    code: 'empty_level',
    title: 'Empty level',
    verdict,
    figure: `an empty paddle darkens the beam for ${seen_mm.toFixed(1)} mm of chain, the sheet says ${(geometry * pitch_mm).toFixed(1)} mm (${off_mm < 0 ? '−' : '+'}${Math.abs(off_mm).toFixed(1)} mm)`,
    evidence: {
      title: 'Dark length of each paddle',
      x_label: 's',
      y_label: 'mm',
      series: [
        seriesOf(
          'paddles',
          'points',
          shown.map(([t]) => t),
          shown.map(([, mm]) => mm),
        ),
      ],
      levels: [{ name: 'by the sheet', y: geometry * pitch_mm }],
    },
    causes: verdict === 'good' ? [] : causes,
    todo:
      verdict === 'good'
        ? ''
        : 'Wipe the lenses and look again; then measure thickness and pitch of the paddles, and centre the beam.',
  };
}

function scatter({ folding, sheet }: CheckContext): Finding {
  const scatter_mm = folding.dark_scatter * sheet.paddle.pitch_mm;
  const verdict = verdictBeyond(scatter_mm, LOOK_SCATTER_MM, MEND_SCATTER_MM);
  return {
    code: 'dark_scatter',
    title: 'Steadiness of the dark length',
    verdict,
    figure: `the same paddle differs by ${scatter_mm.toFixed(1)} mm from round to round`,
    evidence: undefined,
    causes: verdict === 'good' ? [] : ['loose_bracket', 'dirty_lens', 'misaligned', 'chaff'],
    todo:
      verdict === 'good'
        ? ''
        : 'Engine off, key out: tighten bracket and slot screws, wipe the lenses, and try again.',
  };
}

const KIND_WORDS: Readonly<Record<OddPlace['kind'], string>> = {
  longer: 'longer',
  shorter: 'shorter',
  missing: 'missing',
  double: 'double',
};
const KIND_CAUSE: Readonly<Record<OddPlace['kind'], CauseCode>> = {
  longer: 'bent_paddle',
  shorter: 'worn_paddle',
  missing: 'missing_paddle',
  double: 'double_paddle',
};

function signature({ folding, sheet }: CheckContext): Finding | NotJudged {
  const title = 'Chain signature';
  const { places } = folding;
  if (places === undefined) {
    const why =
      sheet.paddle.count === undefined
        ? 'the number of paddles on the chain is not given, and they are too alike to show it: count them'
        : 'three rounds of the chain under power without a break are needed';
    return { code: 'signature', title, why };
  }
  const { odd, count } = places;
  const words = odd.map(({ place, kind, extra_dark }) => {
    const mm = Math.abs(extra_dark * sheet.paddle.pitch_mm);
    return `no. ${place + 1} ${KIND_WORDS[kind]}${Number.isNaN(mm) ? '' : ` by ${mm.toFixed(1)} mm`}`;
  });
  const isGrave = odd.some(({ kind }) => kind === 'missing');
  const counts = new Map<CauseCode, number>();
  for (const { kind } of odd)
    counts.set(KIND_CAUSE[kind], (counts.get(KIND_CAUSE[kind]) ?? 0) + (kind === 'missing' ? 3 : 1));
  const causes = [...counts.entries()].sort(([, a], [, b]) => b - a).map(([cause]) => cause);
  return {
    code: 'signature',
    title,
    verdict: odd.length === 0 ? 'good' : isGrave ? 'mend' : 'look',
    figure:
      odd.length === 0
        ? `all ${count} paddles look alike, over ${places.revolutions.toFixed(1)} rounds`
        : `of ${count}, counted from the first in the run: ${words.join(', ')}`,
    evidence: {
      title: 'Dark length by place on the chain',
      x_label: 'paddle',
      y_label: 'mm',
      series: [
        seriesOf(
          'places',
          'bars',
          Array.from(places.dark_by_place, (_, place) => place + 1),
          places.dark_by_place.map((d) => d * sheet.paddle.pitch_mm),
        ),
      ],
      levels: [{ name: 'usual', y: folding.dark_median * sheet.paddle.pitch_mm }],
    },
    causes,
    todo:
      odd.length === 0
        ? ''
        : 'Engine off, key out, chain blocked: find the paddle with a mark of chalk and straighten or replace it; where it has to stay, the program allows for it.',
  };
}

function paddleCount({ folding, sheet }: CheckContext): Finding | NotJudged {
  const title = 'Paddles on the chain';
  const { found_count } = folding;
  const { count } = sheet.paddle;
  if (found_count === undefined || count === undefined) {
    const why =
      found_count !== undefined
        ? `the chain shows ${found_count}; write it into the sheet as "count" once it has been counted`
        : 'the paddles are too alike for the log to show where the chain begins again';
    return { code: 'paddle_count', title, why };
  }
  const same = found_count === count;
  return {
    code: 'paddle_count',
    title,
    verdict: same ? 'good' : 'look',
    figure: same ? `${count}, as given` : `${found_count} by the log, ${count} given`,
    evidence: undefined,
    causes: same ? [] : ['count_typed', 'miscounted'],
    todo: same ? '' : 'Mark a paddle with chalk, engine off, key out, and count one round.',
  };
}
