/** The forward model on one screen: ground → drive → threshing → elevator → edges, fixes → log; loads → tickets. */
import { gzipSync } from 'fflate';
import { beamEdges } from './beam-edges.ts';
import { type BlockFrame, blockFrame } from './block-frame.ts';
import { SIMULATED_CROPS } from './crops.ts';
import { type Drive, driveAll, STEP_S } from './drive.ts';
import { emptyLevel, runElevator } from './elevator.ts';
import { Ground } from './ground.ts';
import { slowStreams } from './machine-sensors.ts';
import { anticlockwise } from './polygon.ts';
import { Random } from './random.ts';
import { randomSurface } from './random-surface.ts';
import { receive } from './receiver.ts';
import { planRoutes } from './route.ts';
import { type TrueLoad, trueLoads, writeTickets } from './scale-tickets.ts';
import type { Scene } from './scene.ts';
import type { FieldSpec, MachineSpec, SceneSpec } from './scene-spec.ts';
import { boundaryText, fileStem, type LogFiles, sheetText } from './season-sheet.ts';
import type { FieldMachineTruth, FieldTruth, MachineTruth, SeasonTruth } from './season-truth.ts';
import { shownMoisture_pct, threshed } from './threshing.ts';
import { writeTickLog } from './tick-log.ts';

export interface SimulatedSeason {
  /** Path inside the season folder → content: season.json, logs/…, tickets/…, boundaries/… */
  readonly files: ReadonlyMap<string, Uint8Array>;
  readonly truth: SeasonTruth;
}

/** Everything about one machine in one field. */
interface MachineRun {
  readonly truth: FieldMachineTruth;
  readonly loads: readonly TrueLoad[];
  /** Path → content. */
  readonly logs: ReadonlyMap<string, Uint8Array>;
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
    runs.forEach((run, i) => {
      logs.push({ machine: spec.machines[i].id, field: field.name, paths: [...run.logs.keys()] });
      for (const [path, bytes] of run.logs) files.set(path, bytes);
      loads.push(...run.loads);
    });
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
      machines: spec.machines.map((machine, i) => machineTruth(machine, spec, fields, i)),
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
  const routes = planRoutes(field, corners, spec.machines, (i) => random(`${spec.machines[i].id}/route`));
  const expected_kg_m2 = field.yield_t_ha / 10;
  const drives = driveAll(spec.machines, routes, ground, spec.loads, expected_kg_m2, (i) =>
    random(`${spec.machines[i].id}/drive`),
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
  const runs = spec.machines.map((machine, i) =>
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

interface Terrain {
  altitude_m(east_m: number, north_m: number): number;
  /** [∂h/∂east, ∂h/∂north]. */
  slope(east_m: number, north_m: number): [number, number];
}

interface RecordInput {
  readonly spec: SceneSpec;
  readonly field: FieldSpec;
  readonly machine: MachineSpec;
  readonly drive: Drive;
  readonly frame: BlockFrame;
  readonly terrain: Terrain;
  readonly density: number;
  readonly random: (stream: string) => Random;
}

/** What one machine's logger writes in one field. */
function record(input: RecordInput): MachineRun {
  const { spec, field, machine, drive, frame, terrain, density } = input;
  const random = (stream: string): Random => input.random(`${machine.id}/${stream}`);
  const start_utc_ms = Date.parse(field.start_utc);
  const flow = threshed(drive.wet_kg, drive.water_kg, machine.grain.transport_s, machine.grain.mixing_s);
  const tilt = tiltOf(drive, terrain);
  const paddles = runElevator(
    {
      wet_kg: flow.wet_kg,
      pitch_rad: tilt.pitch_rad,
      bulk_density_kg_m3: density,
      rests_s: drive.rests_s,
      dusty_h: dustyHours(spec, field),
    },
    machine,
    random('elevator'),
  );
  const edges = beamEdges(paddles, spec.damage.chatter_per_s, spec.damage.missing_edges, random('beam'));
  const fixes = receive(
    { drive, frame, start_utc_ms, altitude_m: terrain.altitude_m },
    machine,
    spec.damage,
    random('receiver'),
  );
  const shown = shownMoisture_pct(flow, machine.grain.moisture_delay_s, machine.grain.moisture_mixing_s);
  const log = writeTickLog(
    [
      { t_s: edges.t_s, payload: (i) => (edges.dark[i] === 1 ? '1' : '0'), file: 'beam' },
      { t_s: fixes.t_s, payload: (i) => fixes.text[i], file: 'fixes' },
      ...slowStreams({ drive, shown_pct: shown, tilt }, machine, spec.damage, random('sensors')),
    ],
    machine,
    spec.damage,
    random('log'),
  );
  const toUtc = (t_s: number): number => start_utc_ms / 1000 + t_s;
  return {
    truth: {
      id: machine.id,
      area_m2: drive.area_m2,
      entered_kg: total(drive.wet_kg),
      passed_kg: total(flow.wet_kg),
      remained_kg: flow.inside_kg,
      paddles: paddles.trailing_s.length,
      full_paddles: total(paddles.full),
      log_start_utc_s: toUtc(0),
      log_end_utc_s: toUtc(drive.steps * STEP_S),
      artefacts: {
        ...log.artefacts,
        chatterGaps: edges.chatterGaps,
        chatterBlips: edges.chatterBlips,
        missingEdges: edges.missing,
        dropouts_utc_s: fixes.dropouts_s.map(([from, to]) => [toUtc(from), toUtc(to)] as const),
      },
    },
    loads: trueLoads(field.name, machine, drive, flow, start_utc_ms, density),
    logs: logFiles(log.files, machine, field),
  };
}

function logFiles(
  texts: ReadonlyMap<string, string>,
  machine: MachineSpec,
  field: FieldSpec,
): ReadonlyMap<string, Uint8Array> {
  const files = new Map<string, Uint8Array>();
  for (const [suffix, text] of texts) {
    const bytes = new Uint8Array(Buffer.from(text, 'latin1'));
    const path = `logs/${machine.id}-${fileStem(field.name)}${suffix}.log`;
    // fflate rather than Node's zlib, whose output differs between processors and versions.
    if (machine.logger.gzip) files.set(`${path}.gz`, gzipSync(bytes, { level: 9, mtime: 0 }));
    else files.set(path, bytes);
  }
  return files;
}

/** Hours of dust on the optics when a field's log starts: since the season's first log. */
function dustyHours(spec: SceneSpec, field: FieldSpec): number {
  const first = Math.min(...spec.fields.map((one) => Date.parse(one.start_utc)));
  return (Date.parse(field.start_utc) - first) / 3_600_000;
}

/** Nose up and right side down positive. */
export interface Tilt {
  readonly pitch_rad: Float64Array;
  readonly roll_rad: Float64Array;
}

function tiltOf(drive: Drive, terrain: Terrain): Tilt {
  const pitch_rad = new Float64Array(drive.steps);
  const roll_rad = new Float64Array(drive.steps);
  for (let k = 0; k < drive.steps; k += 10) {
    const [byEast, byNorth] = terrain.slope(drive.east_m[k], drive.north_m[k]);
    const cos = Math.cos(drive.theta_rad[k]);
    const sin = Math.sin(drive.theta_rad[k]);
    pitch_rad.fill(Math.atan(byEast * cos + byNorth * sin), k, k + 10);
    roll_rad.fill(-Math.atan(byEast * sin - byNorth * cos), k, k + 10);
  }
  return { pitch_rad, roll_rad };
}

function machineTruth(
  machine: MachineSpec,
  spec: SceneSpec,
  fields: readonly FieldTruth[],
  index: number,
): MachineTruth {
  const utc: number[] = [];
  const level: number[] = [];
  spec.fields.forEach((field, i) => {
    const { log_start_utc_s, log_end_utc_s } = fields[i].machines[index];
    for (let t = log_start_utc_s; t <= log_end_utc_s; t += 60) {
      utc.push(t);
      level.push(emptyLevel(machine, dustyHours(spec, field) + (t - log_start_utc_s) / 3600));
    }
  });
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

function total(amounts: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < amounts.length; i++) sum += amounts[i];
  return sum;
}

function utf8(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}
