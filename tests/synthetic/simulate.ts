/** The forward model on one screen: ground → drive → threshing → elevator → edges, fixes → log; loads → tickets. */

import { blockFrame } from './block-frame.ts';
import { SIMULATED_CROPS } from './crops.ts';
import { driveAll } from './drive.ts';
import { emptyLevel } from './elevator.ts';
import { Ground } from './ground.ts';
import { type MachineRun, record, type Terrain } from './machine-record.ts';
import { planFaults } from './planned-faults.ts';
import { anticlockwise } from './polygon.ts';
import { Random } from './random.ts';
import { randomSurface } from './random-surface.ts';
import { planRoutes } from './route.ts';
import { type TrueLoad, writeTickets } from './scale-tickets.ts';
import type { Scene } from './scene.ts';
import type { FieldSpec, MachineSpec, SceneSpec } from './scene-spec.ts';
import { boundaryText, fileStem, type LogFiles, sheetText } from './season-sheet.ts';
import type { FieldMachineTruth, FieldTruth, MachineTruth, SeasonTruth } from './season-truth.ts';
import { total } from './total.ts';

/** What a scene comes to. */
export interface SimulatedSeason {
  /** Path inside the season folder → content: season.json, logs/…, tickets/…, boundaries/… */
  readonly files: ReadonlyMap<string, Uint8Array>;
  readonly truth: SeasonTruth;
}

/** Runs a scene. Same scene, same bytes. Throws RangeError when the scene cannot be driven. */
export function simulate(scene: Scene): SimulatedSeason {
  const { spec } = scene;
  if (spec.fields.length === 0 || spec.machines.length === 0) {
    throw new RangeError(`scene "${spec.name}" needs at least one field and one machine`);
  }
  const files = new Map<string, Uint8Array>();
  const logs: LogFiles[] = [];
  const loads: TrueLoad[] = [];
  const fields = spec.fields.map((field) => {
    const { truth, runs } = harvest(spec, field);
    for (const run of runs) {
      logs.push({ machine: run.truth.id, field: field.name, paths: [...run.logs.keys()] });
      for (const [path, bytes] of run.logs) files.set(path, bytes);
      loads.push(...run.loads);
    }
    if (field.boundary === 'surveyed') {
      files.set(`boundaries/${fileStem(field.name)}.geojson`, utf8(boundaryText(field)));
    }
    return truth;
  });
  const weighed = writeTickets(loads, spec.loads, new Random(spec.seed, `${spec.name}/scale`));
  if (weighed !== undefined) files.set('tickets/tickets.csv', utf8(weighed.csv));
  files.set('season.json', utf8(sheetText(spec, logs, weighed !== undefined)));
  const all = fields.flatMap((field) => field.machines);
  const sum = (of: (one: FieldMachineTruth) => number): number =>
    all.reduce((total, one) => total + of(one), 0);
  return {
    files,
    truth: {
      fields,
      machines: spec.machines.map((machine) => machineTruth(machine, fields)),
      tickets: weighed?.tickets ?? [],
      balance: {
        entered_kg: sum((one) => one.entered_kg),
        passed_kg: sum((one) => one.passed_kg),
        remained_kg: sum((one) => one.remained_kg),
      },
    },
  };
}

function harvest(spec: SceneSpec, field: FieldSpec): { truth: FieldTruth; runs: readonly MachineRun[] } {
  const random = (stream: string): Random => new Random(spec.seed, `${spec.name}/${field.name}/${stream}`);
  const crop = SIMULATED_CROPS[field.crop];
  const standard_pct = field.standard_moisture_pct ?? crop.standard_moisture_pct;
  const density = field.bulk_density_kg_m3 ?? crop.bulk_density_kg_m3;
  const corners = anticlockwise(field.corners);
  const ground = new Ground(field, corners, standard_pct, random);
  const machines = machinesIn(field, spec);
  const routes = planRoutes(field, corners, machines, (i) => random(`${machines[i].id}/route`));
  const tank = {
    load_kg: 1000 * (field.load_t ?? spec.loads.load_t),
    expected_kg_m2: field.yield_t_ha / 10,
    loads: spec.loads,
  };
  const each = spec.faults_each ?? 0;
  const drives = driveAll(
    machines,
    routes,
    ground,
    tank,
    (i) => random(`${machines[i].id}/drive`),
    (i) => (each > 0 ? planFaults(routes[i], each, random(`${machines[i].id}/faults`)) : []),
  );
  const relief = randomSurface(random('relief'), field.relief_range_m);
  const terrain: Terrain = {
    altitude_m: (e, n) => field.altitude_m + field.relief_m * relief.at(e, n),
    slope: (e, n) => {
      const [byEast, byNorth] = relief.slopeAt(e, n);
      return [field.relief_m * byEast, field.relief_m * byNorth];
    },
  };
  const frame = blockFrame(field.lon0, field.lat0);
  const runs = machines.map((machine, i) =>
    record({ spec, field, machine, drive: drives[i], frame, terrain, density, random }),
  );
  const wet = total(drives.map((drive) => total(drive.wet_kg)));
  const truth: FieldTruth = {
    name: field.name,
    crop: field.crop,
    area_m2: total(drives.map((drive) => drive.area_m2)),
    standing_m2: ground.standing_m2,
    mass_wet_kg: wet,
    mass_std_kg: total(drives.map((drive) => drive.std_kg)),
    moisture_pct: (100 * total(drives.map((drive) => total(drive.water_kg)))) / wet,
    standard_moisture_pct: standard_pct,
    bulk_density_kg_m3: density,
    frame: { lon0: field.lon0, lat0: field.lat0 },
    corners: field.corners,
    blocks_10m: ground.blocks(),
    machines: runs.map((run) => run.truth),
  };
  return { truth, runs };
}

function machinesIn(field: FieldSpec, spec: SceneSpec): readonly MachineSpec[] {
  const { machines } = field;
  if (machines === undefined) return spec.machines;
  const unknown = machines.find((id) => spec.machines.every((machine) => machine.id !== id));
  if (unknown !== undefined)
    throw new RangeError(`field "${field.name}" names an unknown machine "${unknown}"`);
  return spec.machines.filter((machine) => machines.includes(machine.id));
}

function machineTruth(machine: MachineSpec, fields: readonly FieldTruth[]): MachineTruth {
  const utc: number[] = [];
  const level: number[] = [];
  for (const run of fields.flatMap((field) => field.machines)) {
    if (run.id !== machine.id) continue;
    for (let t = run.log_start_utc_s; t <= run.log_end_utc_s; t += 60) {
      utc.push(t);
      level.push(emptyLevel(machine, (t - run.log_start_utc_s) / 3600));
    }
  }
  return {
    id: machine.id,
    transport_s: machine.grain.transport_s,
    mixing_s: machine.grain.mixing_s,
    chain_count: machine.paddle.count,
    bent_index: machine.paddle.bent_mm === 0 ? -1 : machine.paddle.bent_index,
    bent_mm: machine.paddle.bent_mm,
    shape_factor: machine.elevator.shape_factor,
    shape_bend: machine.elevator.shape_bend,
    drift_ppm: machine.logger.drift_ppm,
    empty_level: { utc_s: Float64Array.from(utc), dark_fraction: Float64Array.from(level) },
  };
}

function utf8(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}
