/**
 * Beam states → paddles that passed, at whatever speed: by hand (a paddle in one to five seconds, uneven, rocking, back and
 * forth) as well as under power. What is a flicker is judged against what is usual about it, not by a fixed time.
 */
import { estimateChatter } from '../signal/chatter.ts';
import { runningMedian } from '../signal/running-median.ts';
import { median } from '../stats/quantiles.ts';
import type { BeamTimeline } from './beam-timeline.ts';

/** Paddles in time order. */
export interface Passages {
  readonly lead_s: Float64Array;
  readonly trail_s: Float64Array;
}

export interface Flicker {
  readonly t_s: number;
  readonly kind: 'lit_gap' | 'dark_blip';
}

/** A stretch in which the elevator was turned by hand or ran under power. */
export interface TurningSpell {
  readonly how: 'by_hand' | 'under_power';
  readonly passages: Passages;
  readonly from_s: number;
  readonly to_s: number;
}

export interface Turning {
  readonly spells: readonly TurningSpell[];
  readonly flickers: readonly Flicker[];
  /** Lit gaps of rocking hands that were bridged. */
  readonly rocked: number;
}

/** Nothing that belongs to a paddle is shorter, s: an edge of 3 mm at 3 m/s takes a millisecond. */
const FLICKER_S = 1e-3;
/** Chaff and sparks last no longer, s. */
const LONGEST_FLICKER_S = 3e-3;
/** Paddles that follow each other faster than this come under power, s (by hand: 1 to 5 s). */
const POWER_PERIOD_S = 0.33;
/** Periods on either side that are asked which it is. */
const WINDOW = 9;
/** A hand that rocks at an edge opens the beam for less than this share of the usual lit time. */
const ROCKED_SHARE = 0.2;
/** Nothing for so long: the elevator stands, s. */
const STANDS_S = 15;
/** So many paddles at the most pass while the chain gets up to speed or down from it; … */
const SPINNING = 5;
/** … parted from a hand's by so many of its usual periods. */
const APART_PERIODS = 2.5;
/** Fewer paddles are no spell of running. */
const FEWEST_UNDER_POWER = 30;

export function turningOf(timeline: BeamTimeline): Turning {
  const flickers: Flicker[] = [];
  const spells: TurningSpell[] = [];
  let rocked = 0;
  timeline.run_edge.forEach((first, r) => {
    const last = timeline.run_edge[r + 1] ?? timeline.t_s.length;
    const steady = withoutFlicker(edgesOf(timeline, first, last), FLICKER_S, FLICKER_S, flickers);
    for (const { how, part } of partsOf(steady)) {
      if (how === 'by_hand') {
        const bridged = withoutRocking(part);
        rocked += bridged.rocked;
        if (bridged.passages.trail_s.length > 0) spells.push(spellOf(how, bridged.passages));
      } else {
        spells.push(spellOf(how, toColumns(withoutLongFlicker(part, flickers))));
      }
    }
  });
  return { spells, flickers, rocked };
}

interface Run {
  readonly lead: number;
  readonly trail: number;
}

function edgesOf({ t_s, dark }: BeamTimeline, first: number, last: number): Run[] {
  const runs: Run[] = [];
  let lead = Number.NaN;
  for (let i = first; i < last; i++) {
    if (dark[i] === 1) lead = t_s[i];
    else if (!Number.isNaN(lead)) {
      runs.push({ lead, trail: t_s[i] });
      lead = Number.NaN;
    }
  }
  return runs;
}

/** Dark runs with short lit gaps bridged and short dark blips dropped. */
function withoutFlicker(runs: readonly Run[], bridge_s: number, drop_s: number, flickers: Flicker[]): Run[] {
  const kept: Run[] = [];
  for (const run of runs) {
    const open = kept[kept.length - 1];
    if (open !== undefined && run.lead - open.trail < bridge_s) {
      flickers.push({ t_s: run.lead, kind: 'lit_gap' });
      kept[kept.length - 1] = { lead: open.lead, trail: run.trail };
    } else if (run.trail - run.lead < drop_s) flickers.push({ t_s: run.lead, kind: 'dark_blip' });
    else kept.push(run);
  }
  return kept;
}

/** Under power flicker may last up to 3 ms; where it ends and paddles begin, the durations themselves tell. */
function withoutLongFlicker(runs: readonly Run[], flickers: Flicker[]): Run[] {
  const tick_us = new Float64Array(2 * runs.length);
  const dark = new Uint8Array(2 * runs.length);
  runs.forEach((run, i) => {
    tick_us[2 * i] = 1e6 * run.lead;
    tick_us[2 * i + 1] = 1e6 * run.trail;
    dark[2 * i] = 1;
  });
  const { bridge_lit_s, drop_dark_s } = estimateChatter({ tick_us, dark });
  return withoutFlicker(
    runs,
    Math.min(LONGEST_FLICKER_S, bridge_lit_s),
    Math.min(LONGEST_FLICKER_S, drop_dark_s),
    flickers,
  );
}

/** Stretches by hand and under power, told by the running median of periods; a standstill ends either. */
function partsOf(runs: readonly Run[]): { how: TurningSpell['how']; part: Run[] }[] {
  const period_s = Float64Array.from(runs, (run, i) => (i > 0 ? run.trail - runs[i - 1].trail : Number.NaN));
  const usual_s = runningMedian(period_s, WINDOW);
  const parts: { how: TurningSpell['how']; part: Run[] }[] = [];
  runs.forEach((run, i) => {
    const how = usual_s[i] < POWER_PERIOD_S ? 'under_power' : 'by_hand';
    const open = parts[parts.length - 1];
    if (open !== undefined && open.how === how && !(period_s[i] > STANDS_S)) open.part.push(run);
    else parts.push({ how, part: [run] });
  });
  return parts.flatMap(({ how, part }, p): { how: TurningSpell['how']; part: Run[] }[] => {
    if (how === 'under_power') return part.length >= FEWEST_UNDER_POWER ? [{ how, part }] : [];
    const turned = withoutSpinning(part, parts[p - 1]?.how, parts[p + 1]?.how);
    return turned.length > 0 ? [{ how, part: turned }] : [];
  });
}

/** The first and last turns of a chain that starts and stops are slow, but nobody's hand: a few, apart from the others. */
function withoutSpinning(
  part: readonly Run[],
  before: TurningSpell['how'] | undefined,
  after: TurningSpell['how'] | undefined,
): Run[] {
  const gaps_s = part.map((run, i) => (i > 0 ? run.trail - part[i - 1].trail : Number.NaN));
  const apart_s = APART_PERIODS * median(gaps_s);
  let first = 0;
  let last = part.length;
  if (before === 'under_power') {
    const stop = gaps_s.findIndex((gap_s, i) => i <= SPINNING && gap_s > apart_s);
    first = part.length <= SPINNING ? part.length : Math.max(0, stop);
  }
  if (after === 'under_power') {
    const start = gaps_s.findLastIndex((gap_s, i) => i >= part.length - SPINNING && gap_s > apart_s);
    if (part.length <= SPINNING) last = 0;
    else if (start > 0) last = start;
  }
  return part.slice(first, last);
}

function withoutRocking(runs: readonly Run[]): { passages: Passages; rocked: number } {
  const lit_s = Float64Array.from(runs, (run, i) => (i > 0 ? run.lead - runs[i - 1].trail : Number.NaN));
  const usual_s = runningMedian(lit_s, 2 * WINDOW + 1);
  const kept: Run[] = [];
  let rocked = 0;
  runs.forEach((run, i) => {
    const open = kept[kept.length - 1];
    if (open !== undefined && lit_s[i] < ROCKED_SHARE * usual_s[i]) {
      kept[kept.length - 1] = { lead: open.lead, trail: run.trail };
      rocked++;
    } else kept.push(run);
  });
  return { passages: toColumns(kept), rocked };
}

function toColumns(runs: readonly Run[]): Passages {
  return {
    lead_s: Float64Array.from(runs, ({ lead }) => lead),
    trail_s: Float64Array.from(runs, ({ trail }) => trail),
  };
}

function spellOf(how: TurningSpell['how'], passages: Passages): TurningSpell {
  const { lead_s, trail_s } = passages;
  return { how, passages, from_s: lead_s[0], to_s: trail_s[trail_s.length - 1] };
}
