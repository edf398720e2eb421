/** The slow sensors of a machine as the logger receives them: header switch, moisture, tilt. */
import { type Drive, STEP_S } from './drive.ts';
import type { Random } from './random.ts';
import type { DamageSpec, MachineSpec } from './scene-spec.ts';
import type { EventStream } from './tick-log.ts';

const MOISTURE_EVERY_S = 2;
const TILT_EVERY_S = 1;

/** Nose up and right side down positive, per step. */
export interface Tilt {
  readonly pitch_rad: Float64Array;
  readonly roll_rad: Float64Array;
}

/** What the slow sensors look at: rows a step of `STEP_S`. */
export interface SensedMotion {
  readonly drive: Drive;
  readonly shown_pct: Float64Array;
  readonly tilt: Tilt;
}

/** Those of the three streams that the machine has. */
export function slowStreams(
  sensed: SensedMotion,
  machine: MachineSpec,
  damage: DamageSpec,
  random: Random,
): readonly EventStream[] {
  const streams: EventStream[] = [];
  if (machine.logger.header_switch) streams.push(headerStream(sensed.drive));
  if (machine.logger.moisture) {
    streams.push(moistureStream(sensed.shown_pct, machine.logger, damage, random));
  }
  if (machine.logger.tilt) streams.push(tiltStream(sensed.tilt, machine.logger.tilt_noise_deg, random));
  return streams;
}

/** `H,0` up, `H,1` down: at the log's start, at every change, and every 10 s in between. */
function headerStream(drive: Drive): EventStream {
  const t_s: number[] = [];
  const down: number[] = [];
  for (let k = 0; k < drive.steps; k++) {
    const changed = k === 0 || drive.headerDown[k] !== drive.headerDown[k - 1];
    if (!changed && (k * STEP_S) % 10 >= STEP_S / 2) continue;
    t_s.push(k * STEP_S + 0.004);
    down.push(drive.headerDown[k]);
  }
  return { t_s, payload: (i) => `H,${down[i]}`, file: 'slow' };
}

function moistureStream(
  shown_pct: Float64Array,
  { moisture_noise_pct, moisture_offset_pct }: MachineSpec['logger'],
  damage: DamageSpec,
  random: Random,
): EventStream {
  const t_s: number[] = [];
  const text: string[] = [];
  for (let t = 0.7; t < shown_pct.length * STEP_S; t += MOISTURE_EVERY_S) {
    const noise_pct = moisture_noise_pct * random.normal();
    const shown = shown_pct[Math.floor(t / STEP_S)] + moisture_offset_pct + noise_pct;
    const isOut = damage.moisture_out_min.some(([from, to]) => t >= from * 60 && t < to * 60);
    if (Number.isNaN(shown) || isOut) continue;
    t_s.push(t);
    text.push(`M,${shown.toFixed(2)}`);
  }
  return { t_s, payload: (i) => text[i], file: 'slow' };
}

function tiltStream(tilt: Tilt, noise_deg: number, random: Random): EventStream {
  const t_s: number[] = [];
  const text: string[] = [];
  for (let t = 0.3; t < tilt.pitch_rad.length * STEP_S; t += TILT_EVERY_S) {
    const k = Math.floor(t / STEP_S);
    const pitch = (tilt.pitch_rad[k] * 180) / Math.PI + noise_deg * random.normal();
    const roll = (tilt.roll_rad[k] * 180) / Math.PI + noise_deg * random.normal();
    t_s.push(t);
    text.push(`T,${pitch.toFixed(2)},${roll.toFixed(2)}`);
  }
  return { t_s, payload: (i) => text[i], file: 'slow' };
}
