/**
 * The clean-grain elevator and the beam across it. The chain's phase counts paddles: paddle i's underside leaves
 * the beam (dark → lit) when the phase reaches i, so trailing edges keep steel's time. The paddle carries what
 * flowed in the period before; its heap, and then its own thickness, darken the beam ahead of that edge.
 *
 * Tilt: a beam δ behind the middle of the paddle (δ = depth/2 − from_back; the column's back is towards the
 * machine's rear) sees the level surface of the grain δ·tan θ higher when the nose is θ up. Heaps under 5 mm
 * lie flat and show it in proportion.
 */
import { STEP_S } from './drive.ts';
import { type FaultSpan, spanAt } from './planned-faults.ts';
import type { Random } from './random.ts';
import type { MachineSpec } from './scene-spec.ts';

const SHAPE_REFERENCE_MM = 40;
const SLIP_REFERENCE_KG_S = 10;
const LEVEL_HEAP_MM = 5;
const WANDER_S = 600;
/** The chain takes this long to stop and to reach its speed. */
const SPIN_S = 3;

/** One row a paddle. */
export interface Paddles {
  /** Underside leaves the beam. */
  readonly trailing_s: Float64Array;
  /** The beam goes dark ahead of it; at or before the previous trailing edge when the column is full. */
  readonly onset_s: Float64Array;
  readonly mass_kg: Float64Array;
  /** As seen by the beam, with all its errors. */
  readonly heap_mm: Float64Array;
  readonly full: Uint8Array;
}

/** Columns have a row a step of `STEP_S`. */
export interface ElevatorInput {
  readonly wet_kg: Float64Array;
  /** Nose up, per step. */
  readonly pitch_rad: Float64Array;
  readonly bulk_density_kg_m3: number;
  /** Spells in which the chain stands still, seconds [from, to). */
  readonly rests_s: readonly (readonly [number, number])[];
  /** Spells in which heaps look `size` times as high. */
  readonly bursts?: readonly FaultSpan[];
}

/** Every paddle that passes the beam while the input lasts; their masses add up to what was put in, but for the last part paddle. */
export function runElevator(input: ElevatorInput, machine: MachineSpec, random: Random): Paddles {
  const phase = chainPhase(input, machine, random);
  const steps = input.wet_kg.length;
  const passed_kg = new Float64Array(steps + 1);
  for (let k = 0; k < steps; k++) passed_kg[k + 1] = passed_kg[k] + input.wet_kg[k];
  const count = Math.floor(phase[steps]);
  const paddles: Paddles = {
    trailing_s: new Float64Array(count),
    onset_s: new Float64Array(count),
    mass_kg: new Float64Array(count),
    heap_mm: new Float64Array(count),
    full: new Uint8Array(count),
  };
  const timeOf = phaseClock(phase);
  const wander = slowWander(steps * STEP_S, machine.elevator.height_wander, random);
  let massBefore = 0;
  for (let i = 0; i < count; i++) {
    const [time_s, k] = timeOf(i + 1);
    const share = time_s / STEP_S - k;
    const mass = passed_kg[k] + share * input.wet_kg[k];
    paddles.mass_kg[i] = mass - massBefore;
    massBefore = mass;
    const heap_mm = seenHeap_mm(paddles.mass_kg[i], input, k, machine, random);
    const burst = spanAt(input.bursts ?? [], time_s)?.size ?? 1;
    paddles.heap_mm[i] = heap_mm * (1 + wander(time_s)) * burst;
    paddles.trailing_s[i] = time_s;
  }
  darken(paddles, phase, machine, random);
  return paddles;
}

/** Dark length of an empty, straight paddle over the pitch, `dusty_h` hours after the optics were wiped. */
export function emptyLevel(machine: MachineSpec, dusty_h: number): number {
  const { paddle, beam } = machine;
  return (paddle.thickness_mm + beam.height_mm + beam.dust_mm_per_h * dusty_h) / paddle.pitch_mm;
}

/** Mean height of the heap that `volume_m3` makes, mm: the inverse of V = s0·(1 + b·(h/h0 − 1))·A·h. */
export function heapHeight_mm(volume_m3: number, machine: MachineSpec): number {
  const { shape_factor, shape_bend } = machine.elevator;
  const area_mm2 = machine.paddle.width_mm * machine.paddle.depth_mm;
  const level_mm = (volume_m3 * 1e9) / (shape_factor * area_mm2);
  if (shape_bend === 0) return level_mm;
  // (b/h0)·h² + (1 − b)·h − level = 0
  const a = shape_bend / SHAPE_REFERENCE_MM;
  const b = 1 - shape_bend;
  return (2 * level_mm) / (b + Math.sqrt(b * b + 4 * a * level_mm));
}

/** A line between independent normal numbers every ten minutes; nothing is drawn where there is none. */
function slowWander(length_s: number, deviation: number, random: Random): (at_s: number) => number {
  if (deviation === 0) return () => 0;
  const knots = Array.from({ length: Math.ceil(length_s / WANDER_S) + 2 }, () => deviation * random.normal());
  return (at_s) => {
    const k = Math.floor(at_s / WANDER_S);
    const share = at_s / WANDER_S - k;
    return (1 - share) * knots[k] + share * knots[k + 1];
  };
}

function seenHeap_mm(
  mass_kg: number,
  input: ElevatorInput,
  k: number,
  machine: MachineSpec,
  random: Random,
): number {
  const { elevator, paddle, beam } = machine;
  const height = heapHeight_mm(mass_kg / input.bulk_density_kg_m3, machine);
  const behind_mm = paddle.depth_mm / 2 - beam.from_back_mm;
  const tilted = behind_mm * Math.tan(input.pitch_rad[k]) * Math.min(1, height / LEVEL_HEAP_MM);
  const loaded = Math.min(1, height / LEVEL_HEAP_MM);
  const noise =
    height * elevator.height_noise * random.normal() + loaded * elevator.height_noise_mm * random.normal();
  return Math.max(0, height + tilted + noise);
}

/** Turns of the chain in paddles at each step's start: the integral of v/p. */
function chainPhase(input: ElevatorInput, machine: MachineSpec, random: Random): Float64Array {
  const { chain_m_s, wobble, slip } = machine.elevator;
  const { wet_kg, rests_s } = input;
  const pitch_m = machine.paddle.pitch_mm / 1000;
  const phase = new Float64Array(wet_kg.length + 1);
  phase[0] = random.uniform();
  const angle = random.between(0, 2 * Math.PI);
  let drift = 0;
  let running = 1;
  for (let k = 0; k < wet_kg.length; k++) {
    const t = k * STEP_S;
    const isResting = rests_s.some(([from, to]) => t >= from && t < to);
    running = Math.min(1, Math.max(0, running + ((isResting ? -1 : 1) * STEP_S) / SPIN_S));
    drift = 0.995 * drift + wobble * 0.06 * random.normal();
    const flow = wet_kg[k] / STEP_S;
    const engine = 1 + wobble * Math.sin((2 * Math.PI * t) / 7.3 + angle) + drift;
    const v = running * chain_m_s * engine * (1 - (slip * flow) / SLIP_REFERENCE_KG_S);
    phase[k + 1] = phase[k] + (v * STEP_S) / pitch_m;
  }
  return phase;
}

/** Inverse of the phase for ascending arguments: [seconds, step]. */
function phaseClock(phase: Float64Array): (at: number) => [number, number] {
  let k = 0;
  return (at) => {
    while (k < phase.length - 2 && phase[k + 1] < at) k++;
    while (k > 0 && phase[k] > at) k--;
    return [(k + (at - phase[k]) / (phase[k + 1] - phase[k])) * STEP_S, k];
  };
}

/** Fills in onsets and jitter: from chain phase, so that neither depends on the chain's speed. */
function darken(paddles: Paddles, phase: Float64Array, machine: MachineSpec, random: Random): void {
  const { paddle, elevator } = machine;
  const timeOf = phaseClock(phase);
  for (let i = 0; i < paddles.trailing_s.length; i++) {
    const jitter = (elevator.edge_jitter_mm * random.normal()) / paddle.pitch_mm;
    const bent_mm = i % paddle.count === paddle.bent_index ? paddle.bent_mm : 0;
    const empty = emptyLevel(machine, paddles.trailing_s[i] / 3600);
    const dark = empty + (paddles.heap_mm[i] + bent_mm) / paddle.pitch_mm;
    const end = Math.min(phase[phase.length - 1], i + 1 + jitter);
    paddles.full[i] = dark >= 1 ? 1 : 0;
    paddles.onset_s[i] = Math.max(0, timeOf(Math.max(phase[0], end - Math.min(dark, 1)))[0]);
    paddles.trailing_s[i] = timeOf(end)[0];
  }
}
