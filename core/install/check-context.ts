/** What all parts of the beam check read. */
import type { BeamSheet, PaddleSheet } from '../season.ts';
import { emptyLevelFromGeometry } from '../signal/empty-level.ts';
import { type BeamTimeline, timelineOf } from './beam-timeline.ts';
import { type Folding, foldSlots } from './chain-places.ts';
import { type SteadyRunning, steadyRunning } from './chain-slots.ts';
import { type CounterReading, readCounter } from './counter-reading.ts';
import type { FirstLog } from './first-log.ts';
import { type Turning, turningOf } from './paddle-passages.ts';

/** What is known of machine and session before the log is looked at. */
export interface CheckSheet {
  readonly paddle: PaddleSheet;
  readonly beam?: BeamSheet;
  /** Paddles that a person counted at the receiver's light while turning by hand, whichever way. */
  readonly counted?: number;
  /** Chain speed by another measure (revolutions of the shaft), m/s. */
  readonly chain_speed_m_s?: number;
}

export interface CheckContext {
  readonly log: FirstLog;
  readonly sheet: CheckSheet;
  readonly counter: CounterReading;
  readonly polarity: 'as_logged' | 'inverted';
  readonly timeline: BeamTimeline;
  readonly turning: Turning;
  readonly running: SteadyRunning;
  readonly folding: Folding;
  /** Dark share of an empty paddle by the sheet. */
  readonly geometry: number;
}

/** A paddle counts as odd from this much longer or shorter, mm. A choice of ours: 5 % of a usual heap of 50 mm. */
const ODD_MM = 2.5;

export function checkContext(log: FirstLog, sheet: CheckSheet): CheckContext {
  const counter = readCounter(log);
  const geometry = emptyLevelFromGeometry(sheet.paddle, sheet.beam);
  const asLogged = readBeam(log, sheet, counter.us_per_tick, 'as_logged');
  const dark = asLogged.folding.dark_median;
  const looksInverted = Number.isNaN(dark)
    ? darkMost(asLogged.timeline)
    : Math.abs(1 - dark - geometry) < Math.abs(dark - geometry);
  const polarity = looksInverted ? 'inverted' : 'as_logged';
  const read = looksInverted ? readBeam(log, sheet, counter.us_per_tick, 'inverted') : asLogged;
  return { log, sheet, counter, polarity, ...read, geometry };
}

function readBeam(
  log: FirstLog,
  { paddle }: CheckSheet,
  us_per_tick: number,
  flip: 'as_logged' | 'inverted',
): Pick<CheckContext, 'timeline' | 'turning' | 'running' | 'folding'> {
  const timeline = timelineOf(log, us_per_tick, flip);
  const turning = turningOf(timeline);
  const running = steadyRunning(turning.spells);
  const blips_s = Float64Array.from(
    turning.flickers.filter(({ kind }) => kind === 'dark_blip'),
    ({ t_s }) => t_s,
  ).sort();
  const folding = foldSlots(running, paddle.count, ODD_MM / paddle.pitch_mm, blips_s);
  return { timeline, turning, running, folding };
}

/** Without power only time tells: turned by hand, paddles darken the beam for a small part of it. */
function darkMost({ t_s, dark }: BeamTimeline): boolean {
  const FEWEST_EDGES = 20;
  if (t_s.length < FEWEST_EDGES) return false;
  let dark_s = 0;
  for (let i = 0; i + 1 < t_s.length; i++) if (dark[i] === 1) dark_s += t_s[i + 1] - t_s[i];
  return dark_s > 0.7 * (t_s[t_s.length - 1] - t_s[0]);
}
