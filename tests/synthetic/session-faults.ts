/**
 * Simulated first sessions: sound ones, and ones with one fault each, with what somebody who knows the fault would say of it.
 * Sizes of faults are those seen at machines (from memory); what verdict they deserve is reckoned by what they would cost:
 * `mend` where yields would be missing or off by more than a quarter, else `look`.
 */
import type { CauseCode } from '../../core/install/causes.ts';
import type { Random } from './random.ts';
import { flickers, opened, shifted, spellsWithin, withPlace } from './session-spoilers.ts';
import { type FirstLogCase, made, type Parts, soundEvents, startState } from './sound-session.ts';

export interface FaultKind {
  readonly name: string;
  readonly verdict: 'look' | 'mend';
  /** The cause, or several where nothing in a log could tell them apart. */
  readonly causes: readonly CauseCode[];
  readonly make: (seed: number) => FirstLogCase;
}

function fault(
  name: string,
  verdict: FaultKind['verdict'],
  causes: readonly CauseCode[],
  spoil: (parts: Parts, random: Random) => void,
): FaultKind {
  return { name, verdict, causes, make: (seed) => made(seed, name, spoil) };
}

export const FAULTS: readonly FaultKind[] = [
  fault('beam always dark', 'mend', ['misaligned', 'sender_dead'], (parts) => {
    parts.events = ({ sentences }) => [{ t_s: 0.5, payload: '1' }, ...sentences];
  }),
  fault('beam always lit', 'mend', ['signal_wire', 'beam_misses_paddles'], (parts) => {
    parts.events = ({ sentences }, random) => [...startState(random), ...sentences];
  }),
  fault('wired the wrong way round', 'look', ['output_inverted'], (parts) => {
    parts.events = ({ edges, sentences }) => [
      ...edges.map(({ t_s, payload }) => ({ t_s, payload: payload === '1' ? '0' : '1' })),
      ...sentences,
    ];
  }),
  fault('connector opens', 'mend', ['loose_connector'], (parts) => {
    parts.events = ({ edges, sentences, power_from_s, power_to_s }, random) => {
      const spells = spellsWithin(
        random,
        12 + random.integer(18),
        power_from_s + 6,
        power_to_s - 6,
        0.15,
        1.2,
      );
      return [...opened(edges, spells, random.uniform() < 0.5 ? '0' : '1'), ...sentences];
    };
  }),
  fault('dirty lens', 'look', ['dirty_lens'], (parts, random) => {
    // light is lost at both edges of the paddle: the dark run grows, by less than a quarter of a usual heap
    parts.machine = { ...parts.machine, beam_mm: parts.machine.beam_mm + random.between(6.5, 9.5) };
  }),
  fault('beam grazes the paddles', 'look', ['beam_misses_paddles'], (parts, random) => {
    const { machine } = parts;
    const full_mm = random.between(11, 14);
    parts.machine = { ...machine, thickness_mm: full_mm, beam_mm: machine.beam_mm - random.between(7.5, 9) };
    parts.sheet = { ...parts.sheet, paddle: { ...parts.sheet.paddle, thickness_mm: Math.round(full_mm) } };
  }),
  fault('bent paddle', 'look', ['bent_paddle'], (parts, random) => {
    parts.machine = withPlace(parts.machine, random.integer(parts.machine.count), random.between(3.2, 9));
  }),
  fault('missing paddle', 'mend', ['missing_paddle'], (parts, random) => {
    parts.machine = { ...parts.machine, missing: new Set([random.integer(parts.machine.count)]) };
  }),
  fault('double paddle', 'look', ['double_paddle'], (parts, random) => {
    parts.machine = { ...parts.machine, doubled: new Set([random.integer(parts.machine.count)]) };
  }),
  fault('slack chain', 'look', ['slack_chain'], (parts, random) => {
    parts.machine = { ...parts.machine, swing_mm: parts.machine.pitch_mm * random.between(0.018, 0.03) };
  }),
  fault('loose bracket', 'look', ['loose_bracket'], (parts, random) => {
    parts.machine = { ...parts.machine, shake_mm: random.between(2.2, 3.8) };
  }),
  fault('chaff in the beam', 'look', ['chaff'], (parts) => {
    parts.events = (ran, random) => {
      const { edges, power_from_s, power_to_s, sentences } = ran;
      const inPower = edges.filter(({ t_s }) => t_s > power_from_s && t_s < power_to_s);
      const paddles = inPower.length / 2;
      const moments = Array.from({ length: Math.round(paddles * random.between(0.1, 0.35)) }, () =>
        random.between(power_from_s, power_to_s),
      );
      return [...flickers(edges, moments, random), ...sentences];
    };
  }),
  fault('electrical noise', 'mend', ['electrical_noise'], (parts) => {
    parts.events = (ran, random) => {
      const count = ran.end_s * random.between(2.5, 6);
      const moments = Array.from({ length: Math.round(count) }, () => random.between(1, ran.power_to_s - 1));
      return [...flickers(ran.edges, moments, random), ...ran.sentences];
    };
  }),
  fault('supply drops out', 'mend', ['supply_dropouts'], (parts, random) => {
    const from_s = parts.plan.stand_s;
    const restarts = Array.from({ length: 3 + random.integer(3) }, (_, k) => ({
      at_s: from_s + 20 + 38 * k + 12 * random.uniform(),
      off_s: random.between(1.5, 5),
    }));
    parts.counter = { ...parts.counter, restarts };
    delete (parts.sheet as { counted?: number }).counted;
  }),
  fault('pitch typed in wrong', 'mend', ['pitch_typed'], (parts, random) => {
    const wrong = [0.5, 0.667, 1.5, 2][random.integer(4)];
    const { paddle } = parts.sheet;
    parts.sheet = {
      ...parts.sheet,
      paddle: { ...paddle, pitch_mm: Math.round(paddle.pitch_mm * wrong * 10) / 10 },
      chain_speed_m_s: parts.machine.chain_m_s * random.between(0.985, 1.015),
    };
  }),
  fault('thickness typed in wrong', 'mend', ['thickness_typed'], (parts, random) => {
    const { paddle } = parts.sheet;
    parts.sheet = {
      ...parts.sheet,
      paddle: { ...paddle, thickness_mm: paddle.thickness_mm + Math.round(random.between(16, 30)) },
    };
  }),
  fault('count typed in wrong', 'look', ['count_typed'], (parts, random) => {
    // a chain on which the log can show it: one paddle sticks out a little, and is known
    const { paddle } = parts.sheet;
    const off = (random.uniform() < 0.5 ? -1 : 1) * (1 + random.integer(4));
    parts.machine = [0, 0.31, 0.55].reduce(
      (machine, share) => withPlace(machine, Math.floor(share * machine.count), random.between(1.4, 2)),
      parts.machine,
    );
    parts.sheet = { ...parts.sheet, paddle: { ...paddle, count: parts.machine.count + off } };
  }),
  fault('no fix', 'mend', ['antenna_blocked', 'gps_cable'], (parts) => {
    parts.receiver = { ...parts.receiver, quality: 0 };
  }),
  fault('antenna under a roof', 'look', ['antenna_blocked'], (parts, random) => {
    parts.receiver = { ...parts.receiver, satellites: 5 + random.integer(2), hdop: random.between(1.9, 3.5) };
  }),
  fault('reflections at the antenna', 'look', ['antenna_reflections'], (parts) => {
    parts.events = (ran, random) => {
      const spells = spellsWithin(random, 6 + random.integer(8), 5, ran.end_s - 5, 2, 8);
      const shifts = spells.map(() => [random.between(2.5, 9), 2 * Math.PI * random.uniform()] as const);
      const moved = ran.sentences.map((event) => {
        const k = spells.findIndex(([from, to]) => event.t_s >= from && event.t_s < to);
        return k < 0 ? event : { ...event, payload: shifted(event.payload, shifts[k][0], shifts[k][1]) };
      });
      return [...ran.edges, ...moved];
    };
  }),
  fault('receiver without a date', 'mend', ['gps_setup'], (parts) => {
    parts.receiver = { ...parts.receiver, has_date: false };
  }),
  fault('no course when moving', 'look', ['gps_setup'], (parts) => {
    parts.receiver = { ...parts.receiver, has_course: false };
  }),
  fault('moments told twice', 'look', ['gps_repeats'], (parts) => {
    parts.events = (ran, random) => {
      const share = random.between(0.1, 0.4);
      let copies = false;
      const doubled = ran.sentences.flatMap((event) => {
        if (event.payload.startsWith('$GPGGA')) copies = random.uniform() < share;
        return copies ? [event, { ...event, t_s: event.t_s + 0.045 }] : [event];
      });
      return [...ran.edges, ...doubled];
    };
  }),
  fault('receiver cable loose', 'look', ['gps_cable'], (parts) => {
    parts.events = (ran, random) => {
      const spells = spellsWithin(random, 7 + random.integer(6), 5, ran.end_s - 5, 2, 6);
      return [
        ...ran.edges,
        ...ran.sentences.filter(({ t_s }) => !spells.some(([from, to]) => t_s >= from && t_s < to)),
      ];
    };
  }),
  fault('noise on the serial line', 'look', ['serial_noise'], (parts) => {
    parts.lines = (lines, random) =>
      lines.map((line) => {
        const star = line.indexOf('*');
        if (star < 0 || random.uniform() > 0.07) return line;
        const at = line.indexOf('$') + 8 + random.integer(star - line.indexOf('$') - 9);
        return `${line.slice(0, at)}${line[at] === '7' ? '3' : '7'}${line.slice(at + 1)}`;
      });
  }),
  fault('counter in milliseconds', 'mend', ['tick_unit'], (parts) => {
    parts.counter = { ...parts.counter, per_s: 1000 };
  }),
  fault('oscillator off', 'look', ['logger_clock'], (parts, random) => {
    parts.counter = {
      ...parts.counter,
      drift_ppm: (random.uniform() < 0.5 ? -1 : 1) * random.between(1500, 4000),
    };
  }),
  fault('lines lost by the logger', 'mend', ['logger_storage'], (parts) => {
    parts.events = (ran, random) => {
      const spells = spellsWithin(random, 5 + random.integer(4), 10, ran.end_s - 10, 4, 8);
      return soundEvents(ran).filter(({ t_s }) => !spells.some(([from, to]) => t_s >= from && t_s < to));
    };
  }),
];
