/** Simulated first sessions of sound machines, every one another machine, and the parts of which faults change some. */
import type { CheckSheet } from '../../core/install/check-context.ts';
import { type CounterState, logBytes, tickLines } from './first-log-file.ts';
import {
  type ReceiverState,
  type Session,
  type SessionEvent,
  type SessionMachine,
  type SessionPlan,
  session,
} from './first-session.ts';
import { Random } from './random.ts';

export interface FirstLogCase {
  readonly bytes: Uint8Array;
  readonly sheet: CheckSheet;
  readonly passed_by_hand: number;
}

/** Everything a case is made of; a fault changes some of it. */
export interface Parts {
  machine: SessionMachine;
  plan: SessionPlan;
  receiver: ReceiverState;
  counter: CounterState;
  sheet: CheckSheet;
  /** Changes events after the session, before they are written. */
  events: (session: Session, random: Random) => SessionEvent[];
  lines: (lines: string[], random: Random) => string[];
}

export function soundFirstLog(seed: number): FirstLogCase {
  return made(seed, 'sound', () => undefined);
}

export function made(
  seed: number,
  name: string,
  spoil: (parts: Parts, random: Random) => void,
): FirstLogCase {
  const parts = soundParts(new Random(seed, `${name}/machine`));
  const random = new Random(seed, `${name}/fault`);
  spoil(parts, random);
  const ran = session(parts.machine, parts.plan, parts.receiver, new Random(seed, `${name}/session`));
  const lines = parts.lines(tickLines(parts.events(ran, random), parts.counter), random);
  const counted = parts.sheet.counted === undefined ? undefined : ran.by_hand_passed + parts.sheet.counted;
  return {
    bytes: logBytes(lines),
    sheet: { ...parts.sheet, ...(counted === undefined ? {} : { counted }) },
    passed_by_hand: ran.by_hand_passed,
  };
}

function soundParts(random: Random): Parts {
  const pitch_mm = random.between(150, 260);
  const thickness_mm = random.between(6, 14);
  const beam_mm = random.between(3, 7);
  const count = 44 + random.integer(34);
  const chain_m_s = random.between(1.5, 2.9);
  const grown = Array.from({ length: count }, (_, place) => [place, 0.35 * random.normal()] as const);
  const machine: SessionMachine = {
    pitch_mm,
    thickness_mm,
    beam_mm,
    count,
    chain_m_s,
    swing_mm: random.between(0.3, 0.9),
    shake_mm: random.between(0.1, 0.35),
    added_mm: new Map(grown),
    missing: new Set(),
    doubled: new Set(),
  };
  const isPartBack = random.uniform() < 0.4;
  return {
    machine,
    plan: {
      by_hand_paddles: count * random.between(0.8, 1.3),
      by_hand_rate: random.between(0.2, 1),
      by_hand_spread: random.between(0.15, 0.35),
      by_hand_legs: isPartBack
        ? [
            { way: 1, share: 0.6 },
            { way: -1, share: 0.15 },
            { way: 1, share: 0.25 },
          ]
        : [{ way: 1, share: 1 }],
      rock_per_s: random.between(0, 0.05),
      power_s: random.between(90, 150),
      drive_s: random.between(50, 90),
      stand_s: random.between(15, 40),
    },
    receiver: {
      rate_hz: [1, 2, 5][random.integer(3)],
      quality: [2, 4, 5][random.integer(3)],
      satellites: 9 + random.integer(10),
      hdop: random.between(0.6, 1.2),
      white_m: random.between(0.005, 0.05),
      wander_m: random.between(0.01, 0.2),
      has_date: true,
      has_course: true,
    },
    counter: {
      start_us: random.between(1e6, 4e9),
      drift_ppm: random.between(-60, 60),
      per_s: 1e6,
      restarts: [],
    },
    sheet: {
      paddle: {
        pitch_mm: Math.round(pitch_mm * random.between(0.997, 1.003) * 10) / 10,
        width_mm: 260,
        depth_mm: 150,
        thickness_mm: Math.round(thickness_mm + random.between(-0.8, 0.8)),
        count,
      },
      beam: { height_mm: Math.round(beam_mm + random.between(-0.8, 0.8)) },
      counted: random.uniform() < 0.15 ? 1 : 0,
      ...(random.uniform() < 0.5 ? { chain_speed_m_s: chain_m_s * random.between(0.985, 1.015) } : {}),
    },
    events: ({ edges, sentences }, noise) => [...startState(noise), ...edges, ...sentences],
    lines: (lines, noise) => {
      // a bad line now and then is the rule, not a fault
      const at = 20 + noise.integer(Math.max(1, lines.length - 40));
      return noise.uniform() < 0.3 ? lines.map((line, i) => (i === at ? line.slice(0, 5) : line)) : lines;
    },
  };
}

/** Some loggers write the beam's state when they start. */
export function startState(random: Random): SessionEvent[] {
  return random.uniform() < 0.5 ? [{ t_s: 0.5, payload: '0' }] : [];
}

export const soundEvents = ({ edges, sentences }: Session): SessionEvent[] => [...edges, ...sentences];
