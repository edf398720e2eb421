/**
 * The log of a first session: the machine stands, somebody turns the elevator by hand (slowly, unevenly, rocking, back and
 * forth), then it runs empty under power, then the machine drives a little way. The chain is a row of steel edges in mm that
 * moves past the beam; every edge that crosses it in either direction is an edge of the log.
 *
 * Its numbers are those of machines and people, none of them of the checker.
 */
import { clockText, dateText, latitudeText, longitudeText, sentence } from './nmea-sentence.ts';
import type { Random } from './random.ts';

/** The machine as it is, not as it was typed in. */
export interface SessionMachine {
  readonly pitch_mm: number;
  readonly thickness_mm: number;
  readonly beam_mm: number;
  readonly count: number;
  readonly chain_m_s: number;
  /** Scatter of each paddle's place on the chain from pass to pass. */
  readonly swing_mm: number;
  /** Scatter of each edge by itself from pass to pass: a shaking sensor. */
  readonly shake_mm: number;
  /** By place on the chain: what it adds to the dark length. */
  readonly added_mm: ReadonlyMap<number, number>;
  readonly missing: ReadonlySet<number>;
  /** Places that have another paddle half a pitch before them. */
  readonly doubled: ReadonlySet<number>;
}

export interface SessionPlan {
  readonly by_hand_paddles: number;
  /** Usual paddles a second by hand. */
  readonly by_hand_rate: number;
  /** Log-normal spread of that rate from second to second. */
  readonly by_hand_spread: number;
  /** 1 the way it runs, −1 against it; each is turned on for its paddles. */
  readonly by_hand_legs: readonly { readonly way: 1 | -1; readonly share: number }[];
  /** How often a hand lets go for a moment and the chain falls back by some mm, a second. */
  readonly rock_per_s: number;
  readonly power_s: number;
  readonly drive_s: number;
  readonly stand_s: number;
}

export interface ReceiverState {
  readonly rate_hz: number;
  readonly quality: number;
  readonly satellites: number;
  readonly hdop: number;
  readonly white_m: number;
  readonly wander_m: number;
  readonly has_date: boolean;
  readonly has_course: boolean;
}

/** Events before they are written: true seconds and payload. */
export interface SessionEvent {
  readonly t_s: number;
  readonly payload: string;
}

export interface Session {
  readonly edges: SessionEvent[];
  readonly sentences: SessionEvent[];
  /** Paddles that truly passed while turning by hand, whichever way. */
  readonly by_hand_passed: number;
  readonly power_from_s: number;
  readonly power_to_s: number;
  readonly end_s: number;
}

const STEP_S = 0.004;
const SPIN_S = 3;
const START_UTC_MS = Date.UTC(2026, 8, 14, 13, 5, 0);

export function session(
  machine: SessionMachine,
  plan: SessionPlan,
  receiver: ReceiverState,
  random: Random,
): Session {
  const chain = new Chain(machine, random);
  const edges: SessionEvent[] = [];
  let t = plan.stand_s;
  let by_hand_passed = 0;
  const advance = (by_mm: number, onNewGround: 0 | 1) => {
    // whoever counts, counts the light coming back on, and not again when the hand had slipped
    for (const { share, dark } of chain.move(by_mm))
      edges.push({ t_s: t + share * STEP_S, payload: dark ? '1' : '0' });
    by_hand_passed += onNewGround * chain.relit;
    t += STEP_S;
  };
  turnByHand(machine, plan, random, advance);
  t += 8 + random.uniform() * 8;
  const power_from_s = t;
  runUnderPower(machine, plan, random, advance);
  const power_to_s = t;
  const end_s = t + plan.drive_s + 5;
  const sentences = receive(receiver, plan, power_to_s, end_s, random);
  return { edges, sentences, by_hand_passed, power_from_s, power_to_s, end_s };
}

function turnByHand(
  machine: SessionMachine,
  plan: SessionPlan,
  random: Random,
  advance: (by_mm: number, onNewGround: 0 | 1) => void,
): void {
  const usual_mm_s = machine.pitch_mm * plan.by_hand_rate;
  for (const { way, share } of plan.by_hand_legs) {
    let left_mm = share * plan.by_hand_paddles * machine.pitch_mm;
    let least_mm = left_mm;
    let pace = 0;
    let back_mm = 0;
    while (left_mm > 0) {
      // a hand's pace wanders over a second or so
      pace += (-pace * STEP_S) / 0.8 + plan.by_hand_spread * Math.sqrt((2 * STEP_S) / 0.8) * random.normal();
      if (back_mm <= 0 && random.uniform() < plan.rock_per_s * STEP_S) back_mm = 2 + 10 * random.uniform();
      const step_mm = usual_mm_s * Math.exp(pace - plan.by_hand_spread ** 2 / 2) * STEP_S;
      const falls = back_mm > 0;
      back_mm -= falls ? step_mm / 2 : 0;
      left_mm -= falls ? -step_mm / 2 : step_mm;
      advance(way * (falls ? -step_mm / 2 : step_mm), left_mm < least_mm ? 1 : 0);
      least_mm = Math.min(least_mm, left_mm);
    }
    for (let k = 0; k < 1.5 / STEP_S; k++) advance(0, 0);
  }
}

function runUnderPower(
  machine: SessionMachine,
  plan: SessionPlan,
  random: Random,
  advance: (by_mm: number, onNewGround: 0 | 1) => void,
): void {
  const steps = Math.round(plan.power_s / STEP_S);
  const angle = 2 * Math.PI * random.uniform();
  for (let k = 0; k < steps; k++) {
    const at_s = k * STEP_S;
    const ramp = Math.min(1, at_s / SPIN_S, (plan.power_s - at_s) / SPIN_S);
    const engine = 1 + 0.008 * Math.sin((2 * Math.PI * at_s) / 6.1 + angle);
    advance(1000 * machine.chain_m_s * ramp * engine * STEP_S, 0);
  }
}

/** One crossing within a step. */
interface Crossing {
  readonly share: number;
  readonly dark: boolean;
}

/** Steel on the chain, unrolled: paddle k (may be negative) ends at k·pitch. */
class Chain {
  /** Paddles that left the beam in the last step. */
  relit = 0;
  readonly #machine: SessionMachine;
  readonly #random: Random;
  #at_mm: number;
  /** Scatter of the paddles near the beam, drawn anew for each pass. */
  readonly #scatter = new Map<number, { readonly lead: number; readonly trail: number }>();

  constructor(machine: SessionMachine, random: Random) {
    this.#machine = machine;
    this.#random = random;
    this.#at_mm = (1e4 + random.integer(machine.count) + 0.4) * machine.pitch_mm;
  }

  move(by_mm: number): Crossing[] {
    const from = this.#at_mm;
    const to = from + by_mm;
    this.#at_mm = to;
    this.relit = 0;
    if (by_mm === 0) return [];
    const found: Crossing[] = [];
    const { pitch_mm } = this.#machine;
    const low = Math.min(from, to);
    const high = Math.max(from, to);
    for (
      let half = Math.floor((2 * low) / pitch_mm) - 1;
      half <= Math.ceil((2 * high) / pitch_mm) + 1;
      half++
    ) {
      const steel = this.#steel(half);
      if (steel === undefined) continue;
      for (const [edge_mm, isTrailing] of [
        [steel.lead, false],
        [steel.trail, true],
      ] as const) {
        if (!(edge_mm > low && edge_mm <= high)) continue;
        const dark = isTrailing !== by_mm > 0;
        if (!dark) this.relit++;
        found.push({ share: (edge_mm - from) / by_mm, dark });
      }
    }
    this.#forgetAllBut(Math.floor((2 * low) / pitch_mm) - 2, Math.ceil((2 * high) / pitch_mm) + 2);
    return found.sort((a, b) => a.share - b.share);
  }

  #forgetAllBut(first: number, last: number): void {
    for (const half of this.#scatter.keys()) if (half < first || half > last) this.#scatter.delete(half);
  }

  /** Paddles stand at even half pitches, those too many at odd ones. */
  #steel(half: number): { lead: number; trail: number } | undefined {
    const { pitch_mm, count, thickness_mm, beam_mm, added_mm, missing, doubled, swing_mm, shake_mm } =
      this.#machine;
    const index = Math.ceil(half / 2);
    const place = ((index % count) + count) % count;
    if (half % 2 !== 0 ? !doubled.has(place) : missing.has(place)) return undefined;
    let scatter = this.#scatter.get(half);
    if (scatter === undefined) {
      const swing = swing_mm * this.#random.normal();
      scatter = {
        lead: swing + shake_mm * this.#random.normal(),
        trail: swing + shake_mm * this.#random.normal(),
      };
      this.#scatter.set(half, scatter);
    }
    const dark_mm = Math.max(1.5, thickness_mm + beam_mm + (half % 2 === 0 ? (added_mm.get(place) ?? 0) : 0));
    const trail = (half * pitch_mm) / 2 + scatter.trail;
    return { lead: Math.min(trail - 1, trail - scatter.trail - dark_mm + scatter.lead), trail };
  }
}

/** Standing until the drive, then straight at a walking to driving pace. */
function receive(
  state: ReceiverState,
  plan: SessionPlan,
  drive_from_s: number,
  end_s: number,
  random: Random,
): SessionEvent[] {
  const events: SessionEvent[] = [];
  const [lat0, lon0] = [41.2 + random.uniform(), -97.9 + random.uniform()];
  const heading = 2 * Math.PI * random.uniform();
  let along_m = 0;
  let wanderEast = 0;
  let wanderNorth = 0;
  const kept = Math.exp(-1 / (state.rate_hz * 200));
  for (let k = 0; k / state.rate_hz < end_s; k++) {
    const epoch_s = k / state.rate_hz;
    const isDriving = epoch_s > drive_from_s && epoch_s < drive_from_s + plan.drive_s;
    const speed = isDriving ? 2.2 : 0;
    along_m += speed / state.rate_hz;
    wanderEast = kept * wanderEast + Math.sqrt(1 - kept * kept) * state.wander_m * random.normal();
    wanderNorth = kept * wanderNorth + Math.sqrt(1 - kept * kept) * state.wander_m * random.normal();
    const east = along_m * Math.sin(heading) + wanderEast + state.white_m * random.normal();
    const north = along_m * Math.cos(heading) + wanderNorth + state.white_m * random.normal();
    const lat = lat0 + north / 111_200;
    const lon = lon0 + east / (111_200 * Math.cos((lat0 * Math.PI) / 180));
    const late_s = 0.03 + random.exponential(0.006);
    const shown = Math.abs(speed + 0.03 * random.normal());
    epochLines(
      state,
      { lat, lon, speed_m_s: shown, course_deg: (heading * 180) / Math.PI },
      START_UTC_MS + Math.round(1000 * epoch_s),
    ).forEach((payload, line) => {
      events.push({ t_s: epoch_s + late_s + 0.02 * line, payload });
    });
  }
  return events;
}

function epochLines(
  state: ReceiverState,
  place: { lat: number; lon: number; speed_m_s: number; course_deg: number },
  utc_ms: number,
): string[] {
  const clock = clockText(utc_ms);
  const where = `${latitudeText(place.lat)},${longitudeText(place.lon)}`;
  const gga = sentence(
    state.quality === 0
      ? `GPGGA,${clock},,,,,0,00,99.9,,M,,M,,`
      : `GPGGA,${clock},${where},${state.quality},${String(state.satellites).padStart(2, '0')},${state.hdop.toFixed(1)},412.0,M,-30.0,M,1.0,0120`,
  );
  const knots = (place.speed_m_s / (1852 / 3600)).toFixed(3);
  const course = state.has_course && place.speed_m_s > 0.2 ? place.course_deg.toFixed(2) : '';
  if (!state.has_date) return [gga, sentence(`GPVTG,${course},T,,M,${knots},N,,K,D`)];
  return [
    gga,
    sentence(
      state.quality === 0
        ? `GPRMC,${clock},V,,,,,,,${dateText(utc_ms)},,,N`
        : `GPRMC,${clock},A,${where},${knots},${course},${dateText(utc_ms)},,,D`,
    ),
  ];
}
