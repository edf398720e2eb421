/** Sensor and logger: what the logs themselves say about chain, empty level, beam and clock, machine by machine. */
import type { SignalSummary } from '../../result.ts';
import { MANY_LOST_SHARE, MUCH_CHATTER_SHARE } from '../../signal/beam-sentences.ts';
import { MOST_DRIFT_PPM } from '../../signal/clock.ts';
import { LOOK_DIFFERENCE_MM } from '../../signal/empty-level.ts';
import { M_PER_FT } from '../../units.ts';
import { ABSENT, grouped, signed } from './figures.ts';
import { html, type Markup } from './markup.ts';
import { capitalised, machineName, type ReportContext, STATE_MARKS } from './report-context.ts';

/** An elevator chain that is looser or slower under load than this wants a look (common practice, no source). */
const MOST_JITTER_PCT = 3;
const MOST_SLIP_PCT = 5;
/** An empty level that moves by more than this over the season is dust, wear or a stretched chain, mm. A choice of ours. */
const MOST_LEVEL_SHIFT_MM = 4;

interface Finding {
  readonly state: keyof typeof STATE_MARKS;
  readonly shown: string;
  readonly below?: string;
}

/** One row of the table: what was looked at, what it tells, and what each machine shows. */
interface Question {
  readonly name: string;
  readonly meaning: string;
  readonly answer: (signal: SignalSummary, context: ReportContext) => Finding;
}

const QUESTIONS: readonly Question[] = [
  {
    name: 'chain speed',
    meaning: 'while the elevator runs',
    answer: ({ chain_speed_m_s }, { system }) => {
      const number =
        system === 'us'
          ? `${grouped(chain_speed_m_s === null ? null : (60 * chain_speed_m_s) / M_PER_FT, 0)} ft/min`
          : `${grouped(chain_speed_m_s, 2)} m/s`;
      return chain_speed_m_s === null ? UNKNOWN : { state: 'good', shown: number };
    },
  },
  {
    name: 'unevenness of the paddles',
    meaning: 'scatter of the time between them; a loose chain makes it grow',
    answer: ({ period_jitter_pct }) => shareFinding(period_jitter_pct, MOST_JITTER_PCT, 2),
  },
  {
    name: 'slower under full load',
    meaning: 'than running empty; much means a slipping belt or a weak drive',
    answer: ({ slip_pct }) => shareFinding(slip_pct, MOST_SLIP_PCT, 1),
  },
  {
    name: 'empty level, first and last',
    meaning: 'how much of the chain an empty paddle darkens: the zero of every yield',
    answer: emptyLevelFinding,
  },
  {
    name: 'odd paddles',
    meaning: 'bent, worn or missing ones, by the dark length they add',
    answer: oddPaddlesFinding,
  },
  {
    name: 'paddles missed or hidden',
    meaning: 'filled in from their neighbours',
    answer: ({ missed, hidden, paddles }) => ({
      state: missed + hidden > MANY_LOST_SHARE * paddles ? 'look' : 'good',
      shown: `${grouped(missed + hidden, 0)} of ${grouped(paddles, 0)}`,
    }),
  },
  {
    name: 'flicker of the beam removed',
    meaning: 'chaff and dust, told from paddles by how short it is',
    answer: flickerFinding,
  },
  {
    name: 'logger clock',
    meaning: 'against GPS time; corrected',
    answer: clockFinding,
  },
];

const UNKNOWN: Finding = { state: 'aside', shown: ABSENT, below: 'the log does not tell' };

/** Nothing for seasons whose logs already carry a flow. */
export function signalSection(context: ReportContext): Markup {
  const { signals } = context.result.summary;
  if (signals.length === 0) return html``;
  const heads = signals.map(
    ({ machine }) => html`<th scope="col" class="words">${capitalised(machineName(context, machine))}</th>`,
  );
  const rows = QUESTIONS.map(({ name, meaning, answer }) => {
    const cells = signals.map((signal) => findingCell(answer(signal, context)));
    return html`<tr><th scope="row">${capitalised(name)}<span class="below">${meaning}</span></th>${cells}</tr>`;
  });
  return html`<section><h2>Sensor and logger <span class="kind">as the logs show them</span></h2>
<div class="wide"><table class="signals"><thead><tr><th></th>${heads}</tr></thead><tbody>${rows}</tbody></table></div>
<p class="key">${STATE_MARKS.good} as it should be ${STATE_MARKS.look} look at it ${STATE_MARKS.aside} not known, or set by hand</p></section>
`;
}

function findingCell({ state, shown, below }: Finding): Markup {
  const more = below === undefined ? '' : html`<span class="below">${below}</span>`;
  return html`<td class="words"><div class="finding">${STATE_MARKS[state]}<span>${shown}${more}</span></div></td>`;
}

function shareFinding(share_pct: number | null, most_pct: number, digits: number): Finding {
  if (share_pct === null) return UNKNOWN;
  return { state: share_pct > most_pct ? 'look' : 'good', shown: `${grouped(share_pct, digits)} %` };
}

function emptyLevelFinding({ empty_level, machine }: SignalSummary, context: ReportContext): Finding {
  const { method, first, last, geometry, spells } = empty_level;
  const length = (share: number | null) => `${grouped(lengthOnChain(share, machine, context), 1)} mm`;
  const sheet = `the paddle sheet says ${length(geometry)}`;
  if (method === 'geometry') {
    return {
      state: 'look',
      shown: length(geometry),
      below: 'by the paddle sheet: the elevator never ran empty',
    };
  }
  if (method === 'entered') return { state: 'aside', shown: length(first), below: `entered; ${sheet}` };
  const shift_mm = lengthOnChain(Math.abs((last ?? 0) - (first ?? 0)), machine, context);
  const off_mm = lengthOnChain(Math.abs((first ?? 0) - (geometry ?? 0)), machine, context);
  const isOdd = shift_mm > MOST_LEVEL_SHIFT_MM || off_mm > LOOK_DIFFERENCE_MM;
  const read = spells === 1 ? 'read once' : `read ${spells} times`;
  return {
    state: isOdd ? 'look' : 'good',
    shown: spells === 1 ? length(first) : `${length(first)} → ${length(last)}`,
    below: `${read} while it ran empty; ${sheet}`,
  };
}

function oddPaddlesFinding(signal: SignalSummary, context: ReportContext): Finding {
  const count = context.season.machines.find(({ id }) => id === signal.machine)?.paddle?.count;
  if (count === undefined) {
    return { state: 'aside', shown: ABSENT, below: 'write the number of paddles ("count") in the sheet' };
  }
  const { odd_paddles } = signal;
  if (odd_paddles.length === 0) return { state: 'good', shown: `none seen among ${count}` };
  const words = odd_paddles.map(({ place, extra_dark_fraction }) => {
    const extra_mm = lengthOnChain(extra_dark_fraction, signal.machine, context);
    return `no. ${place + 1} (${signed(extra_mm, 1)} mm)`;
  });
  const below = `of ${count}, counted from the first of the longest empty run; the empty level allows for them`;
  return { state: 'look', shown: words.join(', '), below };
}

function flickerFinding(signal: SignalSummary): Finding {
  const removed = signal.lit_gaps_bridged + signal.dark_blips_dropped;
  const per100 = signal.paddles > 0 ? (100 * removed) / signal.paddles : 0;
  const below =
    removed === 0
      ? undefined
      : `${grouped(per100, 1)} for every 100 paddles: light shorter than ${range(signal.bridge_lit_ms, 1)} ms, dark shorter than ${range(signal.drop_dark_ms, 1)} ms`;
  return { state: per100 > 100 * MUCH_CHATTER_SHARE ? 'look' : 'good', shown: grouped(removed, 0), below };
}

function clockFinding({ clock }: SignalSummary): Finding {
  if (clock.length === 0) return UNKNOWN;
  const drifts = clock.map(({ drift_ppm }) => drift_ppm);
  const leaps = clock.reduce((sum, piece) => sum + piece.leaps, 0);
  const wrong = clock.reduce((sum, piece) => sum + piece.outliers, 0);
  const delays = range(
    clock.map(({ delay_ms }) => delay_ms),
    0,
  );
  const delay = `GPS sentences lag the quickest by ${delays} ms`;
  const jumps = leaps === 0 ? 'no jumps' : leaps === 1 ? '1 jump' : `${leaps} jumps`;
  const strays = wrong === 0 ? '' : `, ${wrong} wrong ${wrong === 1 ? 'time' : 'times'} left out`;
  return {
    state: drifts.some((ppm) => Math.abs(ppm) > MOST_DRIFT_PPM) ? 'look' : 'good',
    shown: driftWords(drifts),
    below: `${delay}, ${jumps}${strays}`,
  };
}

/** `slow by 22 ppm (1.9 s a day)`, of the run that is furthest off; positive drifts are counters that run slow. */
function driftWords(drifts_ppm: readonly number[]): string {
  const most = drifts_ppm.reduce((far, ppm) => (Math.abs(ppm) > Math.abs(far) ? ppm : far), 0);
  const a_day_s = Math.abs(most) * 0.0864;
  if (a_day_s < 0.05) return 'right';
  return `${most > 0 ? 'slow' : 'fast'} by ${grouped(a_day_s, 1)} s a day (${grouped(Math.abs(most), 0)} ppm)`;
}

/** Share of the pitch as a length, mm. */
function lengthOnChain(share: number | null, machine: string, { season }: ReportContext): number {
  const pitch_mm = season.machines.find(({ id }) => id === machine)?.paddle?.pitch_mm;
  return (share ?? Number.NaN) * (pitch_mm ?? Number.NaN);
}

/** `1.3` or `1.3 to 1.5`. */
function range(numbers: readonly number[], digits: number): string {
  const low = grouped(Math.min(...numbers), digits);
  const high = grouped(Math.max(...numbers), digits);
  return low === high ? low : `${low} to ${high}`;
}
