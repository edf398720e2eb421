/**
 * The satellite receiver: where the antenna was at each UTC epoch, with white and slowly wandering position noise,
 * noisy Doppler velocity, spells without a fix, and a serial line that is always late and never early.
 */
import type { BlockFrame } from './block-frame.ts';
import { type Drive, STEP_S } from './drive.ts';
import { clockText, dateText, latitudeText, longitudeText, sentence } from './nmea-sentence.ts';
import { spanAt, spansOf } from './planned-faults.ts';
import type { Random } from './random.ts';
import type { DamageSpec, MachineSpec } from './scene-spec.ts';

/** Sentences with the true second at which the logger received their first byte. */
export interface ReceivedSentences {
  readonly t_s: readonly number[];
  readonly text: readonly string[];
  /** The same fixes as numbers; a row an epoch, at i / rate_hz seconds. */
  readonly fixes: readonly ReceivedFix[];
  /** Spells without a fix, true seconds [from, to). */
  readonly dropouts_s: readonly (readonly [number, number])[];
}

/** One epoch as the receiver believes it. */
export interface ReceivedFix {
  /** Absent without a fix. */
  readonly lonLat: readonly [number, number] | undefined;
  readonly speed_m_s: number;
  readonly course_deg: number;
}

/** Standard deviations of one axis, metres, and the correlation time of the wandering part. */
const POSITION_NOISE = {
  rtk: { white_m: 0.008, wandering_m: 0.013, correlation_s: 120, quality: 4, satellites: 14, hdop: 0.7 },
  differential: {
    white_m: 0.04,
    wandering_m: 0.18,
    correlation_s: 300,
    quality: 2,
    satellites: 10,
    hdop: 0.9,
  },
} as const;
const VELOCITY_NOISE_M_S = 0.03;
/** No sentence arrives earlier than this after its epoch. */
export const SERIAL_DELAY_S = 0.03;
const SERIAL_JITTER_S = 0.008;
/** 80 characters at 38400 baud. */
const SENTENCE_S = 0.021;
const KNOT_M_S = 1852 / 3600;

/** One machine's drive and the frame that it lies in. */
export interface ReceiverInput {
  readonly drive: Drive;
  readonly frame: BlockFrame;
  /** Unix milliseconds of true second 0. */
  readonly start_utc_ms: number;
  readonly altitude_m: (east_m: number, north_m: number) => number;
}

/** Sentences of every epoch from second 0 to the end of the drive. */
export function receive(
  input: ReceiverInput,
  machine: MachineSpec,
  damage: DamageSpec,
  random: Random,
): ReceivedSentences {
  const { drive, frame, start_utc_ms } = input;
  const { receiver } = machine;
  const noise = POSITION_NOISE[receiver.fix];
  const epochs = Math.floor((drive.steps - 1) * STEP_S * receiver.rate_hz);
  const planted = spansOf(drive.faults, 'dropout').map(({ from_s, to_s }) => [from_s, to_s] as const);
  const dropouts_s = [...spells(damage, epochs / receiver.rate_hz, random), ...planted];
  const jumps = spansOf(drive.faults, 'fix_jump');
  const leaps = leapsOf(damage, epochs, random);
  const kept = Math.exp(-1 / (receiver.rate_hz * noise.correlation_s));
  const fresh = Math.sqrt(1 - kept * kept);
  let wanderEast = random.normal();
  let wanderNorth = random.normal();
  const t_s: number[] = [];
  const text: string[] = [];
  const fixes: ReceivedFix[] = [];
  for (let i = 0; i <= epochs; i++) {
    const epoch_s = i / receiver.rate_hz;
    const antenna = antennaAt(drive, Math.round(epoch_s / STEP_S), machine);
    wanderEast = kept * wanderEast + fresh * random.normal();
    wanderNorth = kept * wanderNorth + fresh * random.normal();
    const east =
      antenna.east_m + receiver.noise * (noise.wandering_m * wanderEast + noise.white_m * random.normal());
    const north =
      antenna.north_m + receiver.noise * (noise.wandering_m * wanderNorth + noise.white_m * random.normal());
    const jump_m = spanAt(jumps, epoch_s)?.size;
    const leap = jump_m === undefined ? leaps.get(i) : sideways(drive, epoch_s, jump_m);
    const vEast = antenna.vEast_m_s + receiver.noise * VELOCITY_NOISE_M_S * random.normal();
    const vNorth = antenna.vNorth_m_s + receiver.noise * VELOCITY_NOISE_M_S * random.normal();
    const altitude =
      input.altitude_m(antenna.east_m, antenna.north_m) + receiver.noise * 0.02 * random.normal();
    const late_s = receiver.noise * random.exponential(SERIAL_JITTER_S);
    const hasFix = !dropouts_s.some(([from, to]) => epoch_s >= from && epoch_s < to);
    const fix: ReceivedFix = {
      lonLat: hasFix ? frame.lonLat(east + (leap?.[0] ?? 0), north + (leap?.[1] ?? 0)) : undefined,
      speed_m_s: Math.hypot(vEast, vNorth),
      course_deg: ((Math.atan2(vEast, vNorth) * 180) / Math.PI + 360) % 360,
    };
    fixes.push(fix);
    const lines = sentencesOf(fix, start_utc_ms + Math.round(epoch_s * 1000), altitude, machine);
    lines.forEach((line, k) => {
      t_s.push(epoch_s + SERIAL_DELAY_S + late_s + k * SENTENCE_S);
      text.push(line);
    });
  }
  return { t_s, text, fixes, dropouts_s };
}

/** Metres east and north of a place so far to the right of the way. */
function sideways(drive: Drive, epoch_s: number, right_m: number): [number, number] {
  const theta_rad = drive.theta_rad[Math.min(drive.steps - 1, Math.round(epoch_s / STEP_S))];
  return [right_m * Math.sin(theta_rad), -right_m * Math.cos(theta_rad)];
}

interface Antenna {
  readonly east_m: number;
  readonly north_m: number;
  readonly vEast_m_s: number;
  readonly vNorth_m_s: number;
}

/** The antenna rides on the machine: velocity of the axle plus rate of turn × lever arm. */
function antennaAt(drive: Drive, row: number, machine: MachineSpec): Antenna {
  const k = Math.min(row, drive.steps - 1);
  const ahead = machine.drive.axle_to_cut_m + machine.antenna.ahead_of_cut_m;
  const right = machine.antenna.right_of_centre_m;
  const before = Math.max(0, k - 1);
  const after = Math.min(drive.steps - 1, k + 1);
  const turn_rad_s = (drive.theta_rad[after] - drive.theta_rad[before]) / ((after - before) * STEP_S);
  const cos = Math.cos(drive.theta_rad[k]);
  const sin = Math.sin(drive.theta_rad[k]);
  const forward = drive.speed_m_s[k] + turn_rad_s * right;
  const leftward = turn_rad_s * ahead;
  return {
    east_m: drive.east_m[k] + ahead * cos + right * sin,
    north_m: drive.north_m[k] + ahead * sin - right * cos,
    vEast_m_s: forward * cos - leftward * sin,
    vNorth_m_s: forward * sin + leftward * cos,
  };
}

function spells(
  damage: DamageSpec,
  length_s: number,
  random: Random,
): readonly (readonly [number, number])[] {
  const found: [number, number][] = [];
  for (let i = 0; i < damage.dropouts; i++) {
    const from = Math.round(random.between(0.05, 0.95) * length_s);
    found.push([from, from + Math.max(1, Math.round(damage.dropout_s * random.between(0.5, 1.5)))]);
  }
  return found.sort((a, b) => a[0] - b[0]);
}

/** Epoch → metres east and north by which its fix alone is off. */
function leapsOf(damage: DamageSpec, epochs: number, random: Random): ReadonlyMap<number, [number, number]> {
  const leaps = new Map<number, [number, number]>();
  for (let i = 0; i < damage.position_leaps; i++) {
    const direction = random.between(0, 2 * Math.PI);
    const distance_m = random.between(8, 40);
    leaps.set(random.integer(epochs), [distance_m * Math.cos(direction), distance_m * Math.sin(direction)]);
  }
  return leaps;
}

function sentencesOf(given: ReceivedFix, utc_ms: number, altitude_m: number, machine: MachineSpec): string[] {
  const { fix, talker, vtg } = machine.receiver;
  const { quality, satellites, hdop } = POSITION_NOISE[fix];
  const clock = clockText(utc_ms);
  const date = dateText(utc_ms);
  if (given.lonLat === undefined) {
    return [
      sentence(`${talker}GGA,${clock},,,,,0,00,99.9,,M,,M,,`),
      sentence(`${talker}RMC,${clock},V,,,,,,,${date},,,N`),
    ];
  }
  const [lon, lat] = given.lonLat;
  const place = `${latitudeText(lat)},${longitudeText(lon)}`;
  const knots = (given.speed_m_s / KNOT_M_S).toFixed(3);
  // Receivers leave the course out while they stand.
  const course = given.speed_m_s > 0.15 ? given.course_deg.toFixed(2) : '';
  const count = String(satellites).padStart(2, '0');
  const lines = [
    sentence(
      `${talker}GGA,${clock},${place},${quality},${count},${hdop.toFixed(1)},${altitude_m.toFixed(3)},M,-32.0,M,1.0,0120`,
    ),
    sentence(`${talker}RMC,${clock},A,${place},${knots},${course},${date},,,${fix === 'rtk' ? 'R' : 'D'}`),
  ];
  if (vtg) {
    const kmh = (given.speed_m_s * 3.6).toFixed(2);
    lines.push(sentence(`${talker}VTG,${course},T,,M,${knots},N,${kmh},K,D`));
  }
  return lines;
}
