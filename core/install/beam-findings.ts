/** The beam itself: whether it sees anything, which way round, whether it flickers, and whether the line to it holds. */
import type { CheckContext } from './check-context.ts';
import {
  type Evidence,
  type Finding,
  graver,
  type Judged,
  type NotJudged,
  seriesOf,
  verdictBeyond,
} from './finding.ts';

/** Fewer edges in a whole log are no elevator turning. */
const FEWEST_EDGES = 12;
/** Flickers for every 100 paddles under power; an empty elevator has next to none (common practice, no source). */
const LOOK_FLICKERS = 6;
const MEND_FLICKERS = 60;
/** Flickers a minute while no paddle moves under power. */
const LOOK_STANDING = 6;
const MEND_STANDING = 60;
/** Interruptions of an elevator that runs on: a lost line now and then is no connector. */
const LOOK_GAPS = 2;
const MEND_GAPS = 9;
/** In long logs as many may be one in so many seconds of running. */
const LOOK_GAP_EVERY_S = 300;
const MEND_GAP_EVERY_S = 60;
/** Share of the running time that may be lost in them. */
const MEND_LOST_SHARE = 0.03;

export function beamFindings(context: CheckContext): Judged {
  const silent = silence(context);
  if (silent !== undefined) return { findings: [silent], not_judged: NOTHING_ELSE };
  const found = [polarity(context), flicker(context), gaps(context)];
  return {
    findings: found.filter((one): one is Finding => one !== undefined),
    not_judged:
      found[2] === undefined ? [{ code: 'beam_gaps', title: 'Line to the sensor', why: NO_POWER }] : [],
  };
}

export const NO_POWER =
  'the elevator never runs under power for a quarter of a minute in this log; let it run empty for two minutes';

const NOTHING_ELSE: readonly NotJudged[] = [
  { code: 'elevator', title: 'Everything about elevator and paddles', why: 'the beam shows no paddles' },
];

/** Always dark, always lit, or no sign of life. */
function silence({ timeline, turning }: CheckContext): Finding | undefined {
  const { t_s, dark } = timeline;
  const paddles = turning.spells.reduce((sum, { passages }) => sum + passages.trail_s.length, 0);
  if (paddles >= FEWEST_EDGES / 2 || t_s.length >= FEWEST_EDGES) return undefined;
  const state = t_s.length === 0 ? undefined : dark[dark.length - 1];
  const title = 'Beam';
  const evidence = beamPicture(t_s, dark);
  if (state === 1) {
    return {
      code: 'always_dark',
      title,
      verdict: 'mend',
      figure: `dark all the time; ${t_s.length} edges in the log`,
      evidence,
      causes: ['misaligned', 'sender_dead', 'dirty_lens', 'chain_in_beam', 'signal_wire'],
      todo: 'Look whether the sender’s light is on; wipe both lenses; aim until the receiver’s light is on with no paddle between, and off with one.',
    };
  }
  return {
    code: state === 0 ? 'always_lit' : 'no_edges',
    title,
    verdict: 'mend',
    figure: state === 0 ? `lit all the time; ${t_s.length} edges in the log` : 'no edge in the whole log',
    evidence,
    causes: ['signal_wire', 'beam_misses_paddles', 'loose_connector', 'sender_dead'],
    todo: 'Hold a hand into the beam: if the receiver’s light changes but the log does not, mend the wire to the logger; if it does not, aim the sensor.',
  };
}

function beamPicture(t_s: Float64Array, dark: Uint8Array): Evidence {
  return {
    title: 'State of the beam',
    x_label: 's',
    y_label: 'dark',
    series: [seriesOf('beam', 'points', t_s, dark)],
    levels: [],
  };
}

function polarity({ polarity: way, folding }: CheckContext): Finding {
  const inverted = way === 'inverted';
  const share = Number.isNaN(folding.dark_median)
    ? ''
    : ` (an empty paddle is logged ${(100 * (inverted ? 1 - folding.dark_median : folding.dark_median)).toFixed(1)} % dark)`;
  return {
    code: 'polarity',
    title: 'Dark and lit',
    verdict: inverted ? 'look' : 'good',
    figure: inverted ? `logged the wrong way round${share}` : `the right way round${share}`,
    evidence: undefined,
    causes: inverted ? ['output_inverted', 'signal_wire'] : [],
    todo: inverted
      ? 'Set the receiver to light-on, or exchange its output wires. The program reads such logs right meanwhile.'
      : '',
  };
}

/** Chaff flickers where grain would be, sparks and bad earths at any time. */
function flicker({ timeline, turning, running, folding }: CheckContext): Finding {
  const power = turning.spells.filter(({ how }) => how === 'under_power');
  const inPower = (t_s: number) => power.some(({ from_s, to_s }) => t_s >= from_s && t_s <= to_s);
  const running_s = power.reduce((sum, { from_s, to_s }) => sum + to_s - from_s, 0);
  const whole_s = timeline.run_s.reduce((sum, { from_s, to_s }) => sum + to_s - from_s, 0);
  const still_s = Math.max(0, whole_s - running_s);
  const atPower = turning.flickers.filter(({ t_s }) => inPower(t_s)).length;
  const still = turning.flickers.length - atPower;
  const per100 =
    folding.slots > 0 ? (100 * atPower) / Math.max(folding.slots, running_s / running.period_s || 1) : 0;
  const perMinute = still_s > 5 ? (60 * still) / still_s : 0;
  const verdict = graver(
    verdictBeyond(per100, LOOK_FLICKERS, MEND_FLICKERS),
    verdictBeyond(perMinute, LOOK_STANDING, MEND_STANDING),
  );
  const sparks = perMinute > LOOK_STANDING;
  return {
    code: 'flicker',
    title: 'Flicker',
    verdict,
    figure: `${per100.toFixed(1)} for every 100 paddles under power, ${perMinute.toFixed(1)} a minute otherwise`,
    evidence: {
      title: 'Flickers (shorter than 3 ms) by time',
      x_label: 's',
      y_label: 'in 5 s',
      series: [perBin(turning.flickers.map(({ t_s }) => t_s))],
      levels: [],
    },
    causes:
      verdict === 'good'
        ? []
        : sparks
          ? ['electrical_noise', 'loose_connector', 'misaligned']
          : ['chaff', 'dirty_lens', 'misaligned', 'electrical_noise'],
    todo:
      verdict === 'good'
        ? ''
        : sparks
          ? 'It flickers while no paddle moves: mend earth, shield and route of the signal wire, then look again.'
          : 'Close covers and seals, wipe the lenses and centre the beam; what is left the program takes out.',
  };
}

function perBin(t_s: readonly number[]) {
  const BIN_S = 5;
  const counts = new Map<number, number>();
  for (const t of t_s) counts.set(Math.floor(t / BIN_S), (counts.get(Math.floor(t / BIN_S)) ?? 0) + 1);
  const bins = [...counts.keys()].sort((a, b) => a - b);
  return seriesOf(
    'flickers',
    'bars',
    bins.map((bin) => (bin + 0.5) * BIN_S),
    bins.map((bin) => counts.get(bin) ?? 0),
  );
}

/** Paddles that ought to have been seen while sentences went on: the line to the sensor opened. */
function gaps({ running, folding, timeline }: CheckContext): Finding | undefined {
  if (!(running.running_s > 15)) return undefined;
  const alone = running.holes.filter(({ from_s, to_s }) => told(timeline.sentence_s, from_s, to_s));
  const lost_s = alone.reduce((sum, { from_s, to_s }) => sum + to_s - from_s, 0);
  const count = folding.irregular + alone.length;
  const share = (lost_s + folding.irregular * running.period_s) / running.running_s;
  const verdict = graver(
    verdictBeyond(
      count,
      Math.max(LOOK_GAPS, running.running_s / LOOK_GAP_EVERY_S),
      Math.max(MEND_GAPS, running.running_s / MEND_GAP_EVERY_S),
    ),
    share > MEND_LOST_SHARE ? 'mend' : 'good',
  );
  const shown = running.stretches.flatMap(({ t_s, dark }) => [...t_s].map((t, k) => [t, dark[k]] as const));
  return {
    code: 'beam_gaps',
    title: 'Line to the sensor',
    verdict,
    figure: `${count} ${count === 1 ? 'interruption' : 'interruptions'} while the elevator ran, ${(100 * share).toFixed(1)} % of the time`,
    evidence: {
      title: 'Dark share of each paddle by time',
      x_label: 's',
      y_label: 'dark share',
      series: [
        seriesOf(
          'paddles',
          'points',
          shown.map(([t]) => t),
          shown.map(([, d]) => d),
        ),
      ],
      levels: [],
    },
    causes:
      verdict === 'good' ? [] : ['loose_connector', 'signal_wire', 'supply_dropouts', 'electrical_noise'],
    todo:
      verdict === 'good'
        ? ''
        : 'Tug at every plug and crimp between sensor and logger while somebody watches the receiver’s light; replace what lets go.',
  };
}

/** Whether the receiver spoke in that time; where there is none, the beam alone is to blame. */
function told(sentence_s: Float64Array, from_s: number, to_s: number): boolean {
  const BRINK = 0.2;
  const brink_s = BRINK * (to_s - from_s);
  return sentence_s.length === 0 || sentence_s.some((t_s) => t_s > from_s + brink_s && t_s < to_s - brink_s);
}
