/** Who drives which pass, when, which way round, and how they turn between them: one list of legs a machine. */
import { type PlannedLine, planLines } from './pass-plan.ts';
import { endOf, type Path, pathThrough, startOf } from './path.ts';
import type { Random } from './random.ts';
import type { Corner, FieldSpec, MachineSpec } from './scene-spec.ts';
import { turnBetween } from './turn.ts';

/** The header goes down this long after a pass leg begins and up this long before it ends. */
export const HEADER_MARGIN_M = 2;

/** A piece of a machine's day. */
export type Leg =
  /** Stands with the header up. */
  | { readonly kind: 'stand'; readonly duration_s: number }
  /** Drives with the header up. */
  | { readonly kind: 'turn'; readonly path: Path }
  /** Cuts, but for `HEADER_MARGIN_M` at both ends. */
  | { readonly kind: 'pass'; readonly path: Path; readonly lap: boolean };

interface Stretch {
  readonly line: PlannedLine;
  readonly first: number;
  readonly last: number;
  readonly backwards: boolean;
  readonly lap: boolean;
}

/** Legs of every machine in a field. `randomOf(machine index)` drives leads and steering. */
export function planRoutes(
  field: FieldSpec,
  corners: readonly Corner[],
  machines: readonly MachineSpec[],
  randomOf: (machine: number) => Random,
): readonly (readonly Leg[])[] {
  const width_m = Math.min(...machines.map((machine) => machine.header.width_m));
  for (const { id, drive } of machines) {
    if (2 * drive.wander_m > field.passes.overlap_m) {
      throw new RangeError(
        `machine "${id}" wanders ${drive.wander_m} m either way, more than half the overlap of ${field.passes.overlap_m} m: strips of crop would be left standing`,
      );
    }
  }
  const plan = planLines(field, corners, width_m);
  const stretches = machines.map((): Stretch[] => []);
  plan.laps.forEach((lap, k) => {
    for (const line of lap) stretches[k % machines.length].push(...stretchesOf(line, false, true));
  });
  const driven = machines.map(() => 0);
  plan.lines.forEach((line, k) => {
    const machine =
      field.passes.share === 'alternate'
        ? k % machines.length
        : Math.floor((k * machines.length) / plan.lines.length);
    stretches[machine].push(...stretchesOf(line, driven[machine]++ % 2 === 1, false));
  });
  return machines.map((machine, i) => legsOf(machine, stretches[i], i * 45, randomOf(i)));
}

function stretchesOf(line: PlannedLine, backwards: boolean, lap: boolean): Stretch[] {
  const all = line.stretches.map(([first, last]): Stretch => ({ line, first, last, backwards, lap }));
  return backwards ? all.reverse() : all;
}

function legsOf(
  machine: MachineSpec,
  stretches: readonly Stretch[],
  stagger_s: number,
  random: Random,
): readonly Leg[] {
  if (stretches.length === 0) throw new RangeError(`machine "${machine.id}" has no pass to drive`);
  const legs: Leg[] = [{ kind: 'stand', duration_s: machine.drive.start_idle_s + stagger_s }];
  let before: Path | undefined;
  for (const stretch of stretches) {
    const path = axlePath(stretch, machine, random);
    if (before !== undefined) {
      legs.push({
        kind: 'turn',
        path: turnBetween(endOf(before), startOf(path), machine.drive.turn_radius_m),
      });
    }
    legs.push({ kind: 'pass', path, lap: stretch.lap });
    before = path;
  }
  legs.push({ kind: 'stand', duration_s: machine.drive.end_idle_s });
  return legs;
}

/**
 * The way of the axle, which follows the line behind the cutting line: from the lead before the crop to the lead
 * after it, with a steering error of two slow waves that never exceeds `wander_m`.
 */
function axlePath(stretch: Stretch, machine: MachineSpec, random: Random): Path {
  const { wander_m, axle_to_cut_m } = machine.drive;
  const travelled = stretch.backwards
    ? pathThrough(stretch.line.east_m.toReversed(), stretch.line.north_m.toReversed())
    : pathThrough(stretch.line.east_m, stretch.line.north_m);
  const count = travelled.s_m.length;
  const first = stretch.backwards ? count - 1 - stretch.last : stretch.first;
  const last = stretch.backwards ? count - 1 - stretch.first : stretch.last;
  // One sample (0.5 m) of crop may lie beyond the last point that met it.
  const from_m = travelled.s_m[first] - random.between(1.2, 3) - HEADER_MARGIN_M - axle_to_cut_m;
  const to_m = travelled.s_m[last] + random.between(1.2, 3) + HEADER_MARGIN_M - axle_to_cut_m;
  const waves = [random.between(45, 80), random.between(90, 160)].map((length_m) => (2 * Math.PI) / length_m);
  const phases = [random.between(0, 2 * Math.PI), random.between(0, 2 * Math.PI)];
  const east: number[] = [];
  const north: number[] = [];
  for (let k = 0; k < count; k++) {
    const s = travelled.s_m[k];
    if (s < from_m || s > to_m) continue;
    const off = (wander_m / 2) * (Math.sin(waves[0] * s + phases[0]) + Math.sin(waves[1] * s + phases[1]));
    const theta = travelled.theta_rad[k];
    east.push(travelled.east_m[k] + off * Math.sin(theta));
    north.push(travelled.north_m[k] - off * Math.cos(theta));
  }
  return pathThrough(Float64Array.from(east), Float64Array.from(north));
}
