/**
 * All machines of a field driven in common time steps, so that the ground is cut in time order whoever cuts it.
 * The unsteered axle follows the route; the cutting line is a fixed distance ahead of it.
 */
import type { CuttingLine, Gathered, Ground } from './ground.ts';
import { PathWalker, type Pose, startOf } from './path.ts';
import { type FaultSpan, FaultWatch, type PlannedFault } from './planned-faults.ts';
import type { Random } from './random.ts';
import { HEADER_MARGIN_M, type Leg } from './route.ts';
import type { LoadsSpec, MachineSpec } from './scene-spec.ts';

/** Time step of everything that moves or flows; delays are multiples of it. */
export const STEP_S = 0.05;

const ACCELERATION_M_S2 = 0.5;
const BRAKING_M_S2 = 0.8;
const CREEP_M_S = 0.2;
const RUN_UP_S = 20;

/** A machine's motion: row k is the state at k · STEP_S; what was gathered in row k was cut in the step after it. */
export interface Drive {
  readonly steps: number;
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  readonly theta_rad: Float64Array;
  readonly speed_m_s: Float64Array;
  readonly headerDown: Uint8Array;
  readonly wet_kg: Float64Array;
  readonly water_kg: Float64Array;
  /** Fresh ground, by step. */
  readonly fresh_m2: Float64Array;
  readonly area_m2: number;
  readonly std_kg: number;
  /** Faults planted within passes, as they happened. */
  readonly faults: readonly FaultSpan[];
  /** Seconds at which the machine came to a stand to unload, in order. */
  readonly stops_s: readonly number[];
  /** Spells in which the elevator stands still, seconds [from, to). */
  readonly rests_s: readonly (readonly [number, number])[];
}

/** What drivers know when they plan their stops. */
export interface TankPlan {
  /** Content at which they stop. */
  readonly load_kg: number;
  readonly expected_kg_m2: number;
  readonly loads: LoadsSpec;
}

/** Drives every route to its end, cutting `ground` as it goes. */
export function driveAll(
  machines: readonly MachineSpec[],
  routes: readonly (readonly Leg[])[],
  ground: Ground,
  tank: TankPlan,
  randomOf: (machine: number) => Random,
  faultsOf: (machine: number) => readonly PlannedFault[] = () => [],
): readonly Drive[] {
  const drivers = machines.map(
    (machine, i) => new Driver(machine, routes[i], tank, randomOf(i), new FaultWatch(faultsOf(i))),
  );
  while (drivers.some((driver) => !driver.finished)) {
    for (const driver of drivers) if (!driver.finished) driver.step(ground);
  }
  return drivers.map((driver) => driver.drive());
}

class Driver {
  finished = false;
  readonly #machine: MachineSpec;
  readonly #legs: readonly Leg[];
  readonly #tank: TankPlan;
  readonly #random: Random;
  readonly #faults: FaultWatch;
  readonly #fresh: number[] = [];
  readonly #east: number[] = [];
  readonly #north: number[] = [];
  readonly #theta: number[] = [];
  readonly #speed: number[] = [];
  readonly #down: number[] = [];
  readonly #wet: number[] = [];
  readonly #water: number[] = [];
  readonly #stops: number[] = [];
  readonly #rests: [number, number][] = [];
  readonly #ripplePhases: readonly number[];
  #area_m2 = 0;
  #std_kg = 0;
  #leg = 0;
  #walker: PathWalker | undefined;
  #s_m = 0;
  #v_m_s = 0;
  #standing_s: number;
  #pose: Pose;
  #line: CuttingLine;
  #tank_kg = 0;
  #willUnload = false;
  #load = 0;
  #stepFactor = 1;
  #stepUntil_s = 0;

  constructor(
    machine: MachineSpec,
    legs: readonly Leg[],
    tank: TankPlan,
    random: Random,
    faults: FaultWatch,
  ) {
    this.#machine = machine;
    this.#faults = faults;
    this.#legs = legs;
    this.#tank = tank;
    this.#random = random;
    this.#ripplePhases = [random.between(0, 6.28), random.between(0, 6.28)];
    const first = legs[0];
    const second = legs[1];
    if (first.kind !== 'stand' || second.kind !== 'pass') throw new RangeError('a route starts standing');
    this.#standing_s = first.duration_s;
    this.#pose = startOf(second.path);
    this.#line = this.#cuttingLine();
  }

  /** One step of STEP_S: notes the state, moves on, cuts. */
  step(ground: Ground): void {
    const leg = this.#legs[this.#leg];
    this.#faults.pass(this.#leg, this.#s_m, this.#time_s);
    const down = this.#headerDown(leg);
    this.#note(down);
    if (leg.kind === 'stand' || this.#standing_s > 0) {
      this.#standing_s -= STEP_S;
      this.#v_m_s = 0;
      this.#gather(undefined);
      if (this.#standing_s <= 1e-9 && leg.kind === 'stand') this.#nextLeg();
      return;
    }
    this.#v_m_s = this.#nextSpeed(leg.path.length_m - this.#s_m, leg.kind);
    this.#s_m += this.#v_m_s * STEP_S;
    this.#pose = this.#walker!.poseAt(this.#s_m);
    const before = this.#line;
    this.#line = this.#cuttingLine();
    this.#gather(down ? ground.sweep(before, this.#line) : undefined);
    if (this.#s_m >= leg.path.length_m) this.#nextLeg();
  }

  drive(): Drive {
    return {
      steps: this.#east.length,
      east_m: Float64Array.from(this.#east),
      north_m: Float64Array.from(this.#north),
      theta_rad: Float64Array.from(this.#theta),
      speed_m_s: Float64Array.from(this.#speed),
      headerDown: Uint8Array.from(this.#down),
      wet_kg: Float64Array.from(this.#wet),
      water_kg: Float64Array.from(this.#water),
      fresh_m2: Float64Array.from(this.#fresh),
      area_m2: this.#area_m2,
      std_kg: this.#std_kg,
      faults: this.#faults.spans,
      stops_s: this.#stops,
      rests_s: this.#rests,
    };
  }

  get #time_s(): number {
    return this.#east.length * STEP_S;
  }

  #note(down: boolean): void {
    this.#east.push(this.#pose.east_m);
    this.#north.push(this.#pose.north_m);
    // Headings run on without wrapping, whichever leg they come from.
    const before = this.#theta.length > 0 ? this.#theta[this.#theta.length - 1] : this.#pose.theta_rad;
    const turns = Math.round((before - this.#pose.theta_rad) / (2 * Math.PI));
    this.#theta.push(this.#pose.theta_rad + turns * 2 * Math.PI);
    this.#speed.push(this.#v_m_s);
    this.#down.push(down ? 1 : 0);
  }

  #gather(gathered: Gathered | undefined): void {
    this.#wet.push(gathered?.wet_kg ?? 0);
    this.#water.push(gathered?.water_kg ?? 0);
    this.#fresh.push(gathered?.area_m2 ?? 0);
    if (gathered === undefined) return;
    this.#area_m2 += gathered.area_m2;
    this.#std_kg += gathered.std_kg;
    this.#tank_kg += gathered.wet_kg;
  }

  #headerDown(leg: Leg): boolean {
    if (this.#faults.keepsHeaderDown && this.#standing_s <= 0) return true;
    return (
      leg.kind === 'pass' &&
      this.#standing_s <= 0 &&
      this.#s_m >= HEADER_MARGIN_M &&
      this.#s_m < leg.path.length_m - HEADER_MARGIN_M
    );
  }

  #nextLeg(): void {
    if (this.#willUnload) {
      this.#stops.push(this.#time_s);
      this.#standing_s = this.#random.between(this.#tank.loads.stand_s[0], this.#tank.loads.stand_s[1]);
      if (this.#tank.loads.rest_after.includes(this.#load)) this.#rest();
      this.#willUnload = false;
      this.#tank_kg = 0;
      this.#load++;
    }
    const over_m = this.#walker === undefined ? 0 : this.#s_m - this.#walker.path.length_m;
    this.#leg++;
    if (this.#leg >= this.#legs.length) {
      this.finished = true;
      return;
    }
    const leg = this.#legs[this.#leg];
    if (leg.kind === 'stand') {
      this.#standing_s = leg.duration_s;
      return;
    }
    this.#walker = new PathWalker(leg.path);
    this.#s_m = this.#standing_s > 0 ? 0 : Math.max(0, over_m);
    if (leg.kind === 'pass') this.#planStop();
  }

  /** The engine is switched off when the tank is empty, and on again a little before the machine moves. */
  #rest(): void {
    const from_s = this.#time_s + this.#standing_s;
    this.#rests.push([from_s, from_s + this.#tank.loads.rest_s]);
    this.#standing_s += this.#tank.loads.rest_s + RUN_UP_S;
  }

  /** The driver unloads after this pass when the next would overfill the tank, unless the whole rest fits. */
  #planStop(): void {
    const thisAndNext = this.#legs.slice(this.#leg, this.#leg + 3);
    const rest = this.#legs.slice(this.#leg);
    const isLast = this.#leg >= this.#legs.length - 2;
    const overfills = this.#tank_kg + this.#expected_kg(thisAndNext) > this.#tank.load_kg;
    const restFits = this.#tank_kg + this.#expected_kg(rest) < 1.2 * this.#tank.load_kg;
    this.#willUnload = !isLast && overfills && !restFits;
  }

  #expected_kg(legs: readonly Leg[]): number {
    const length_m = legs.reduce((sum, leg) => sum + (leg.kind === 'pass' ? leg.path.length_m : 0), 0);
    return length_m * this.#machine.header.width_m * this.#tank.expected_kg_m2;
  }

  #nextSpeed(left_m: number, kind: 'turn' | 'pass'): number {
    const { drive } = this.#machine;
    const mustStand = this.#legs[this.#leg + 1].kind === 'stand' || (kind === 'pass' && this.#willUnload);
    const endSpeed = mustStand ? 0 : drive.turn_speed_m_s;
    const braking = Math.sqrt(endSpeed ** 2 + 2 * BRAKING_M_S2 * Math.max(0, left_m));
    const share = this.#faults.speedShare;
    const wanted =
      share *
      Math.max(CREEP_M_S, Math.min(kind === 'pass' ? this.#passSpeed() : drive.turn_speed_m_s, braking));
    const faster = this.#v_m_s + ACCELERATION_M_S2 * STEP_S;
    const slower = this.#v_m_s - BRAKING_M_S2 * STEP_S;
    return Math.min(faster, Math.max(slower, wanted));
  }

  #passSpeed(): number {
    const { drive } = this.#machine;
    const t = this.#time_s;
    if (t >= this.#stepUntil_s) {
      this.#stepFactor = 1 + drive.speed_steps * this.#random.between(-1, 1);
      this.#stepUntil_s = t + this.#random.between(40, 120);
    }
    const ripple =
      Math.sin(t / 6.1 + this.#ripplePhases[0]) + 0.6 * Math.sin(t / 2.3 + this.#ripplePhases[1]);
    const loadFactor = drive.load_speeds[this.#load % drive.load_speeds.length];
    return drive.speed_m_s * loadFactor * this.#stepFactor * (1 + drive.speed_ripple * ripple);
  }

  #cuttingLine(): CuttingLine {
    const { theta_rad, east_m, north_m } = this.#pose;
    const cos = Math.cos(theta_rad);
    const sin = Math.sin(theta_rad);
    const half = this.#machine.header.width_m / 2;
    const east = east_m + this.#machine.drive.axle_to_cut_m * cos;
    const north = north_m + this.#machine.drive.axle_to_cut_m * sin;
    return {
      leftEast_m: east - half * sin,
      leftNorth_m: north + half * cos,
      rightEast_m: east + half * sin,
      rightNorth_m: north - half * cos,
    };
  }
}
