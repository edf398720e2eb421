/** One machine in one field, from its drive to its log: threshing → elevator → edges, fixes, slow sensors → files. */

import { gzipSync } from 'fflate';
import { beamEdges } from './beam-edges.ts';
import type { BlockFrame } from './block-frame.ts';
import { type Drive, STEP_S } from './drive.ts';
import { runElevator } from './elevator.ts';
import { labelledSpans } from './labelled-spans.ts';
import { slowStreams, type Tilt } from './machine-sensors.ts';
import { type FaultSpan, plugged, spanAt, spansOf } from './planned-faults.ts';
import { isInside } from './polygon.ts';
import type { Random } from './random.ts';
import { receive } from './receiver.ts';
import { type TrueLoad, trueLoads } from './scale-tickets.ts';
import type { FieldSpec, MachineSpec, SceneSpec } from './scene-spec.ts';
import { fileStem } from './season-sheet.ts';
import type { FieldMachineTruth } from './season-truth.ts';
import { tallyText } from './tally-log.ts';
import { shownMoisture_pct, threshed } from './threshing.ts';
import { writeTickLog } from './tick-log.ts';
import { total } from './total.ts';

/** Everything about one machine in one field. */
export interface MachineRun {
  readonly truth: FieldMachineTruth;
  readonly loads: readonly TrueLoad[];
  /** Path → content. */
  readonly logs: ReadonlyMap<string, Uint8Array>;
}

/** The ground's height, metres above sea level. */
export interface Terrain {
  altitude_m(east_m: number, north_m: number): number;
  /** [∂h/∂east, ∂h/∂north]. */
  slope(east_m: number, north_m: number): [number, number];
}

/** One machine's drive through one field, and what surrounds it. */
export interface RecordInput {
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
export function record(input: RecordInput): MachineRun {
  const { spec, field, machine, drive, frame, terrain, density } = input;
  const random = (stream: string): Random => input.random(`${machine.id}/${stream}`);
  const start_utc_ms = Date.parse(field.start_utc);
  const { transport_s, mixing_s, moisture_delay_s, moisture_mixing_s } = machine.grain;
  const plugs = spansOf(drive.faults, 'plug');
  const flow = threshed(
    plugged(drive.wet_kg, plugs, STEP_S),
    plugged(drive.water_kg, plugs, STEP_S),
    transport_s,
    mixing_s,
  );
  const atBeam_s = transport_s + mixing_s;
  const tilt = tiltOf(drive, terrain);
  const paddles = runElevator(
    {
      wet_kg: flow.wet_kg,
      pitch_rad: tilt.pitch_rad,
      bulk_density_kg_m3: density,
      rests_s: drive.rests_s,
      bursts: spansOf(drive.faults, 'burst', atBeam_s),
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
  const shown = withFaults(
    shownMoisture_pct(flow, moisture_delay_s, moisture_mixing_s),
    spansOf(drive.faults, 'moisture_fault', atBeam_s + moisture_delay_s + moisture_mixing_s),
  );
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
  const texts =
    machine.logger.files === 'tally'
      ? new Map([
          [
            '-tally',
            tallyText({ edges, fixes: fixes.fixes, drive, shown_pct: shown, start_utc_ms }, machine),
          ],
        ])
      : log.files;
  const toUtc = (t_s: number): number => start_utc_ms / 1000 + t_s;
  return {
    truth: {
      id: machine.id,
      area_m2: drive.area_m2,
      labels: labelledSpans(drive, machine, (east_m, north_m) => isInside(field.corners, east_m, north_m)),
      fresh_m2_by_s: bySecond(drive.fresh_m2),
      entered_kg: total(drive.wet_kg),
      cut_dry_kg: runningTotal(drive.wet_kg.map((kg, k) => kg - drive.water_kg[k])),
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
    logs: logFiles(texts, machine, field),
  };
}

function bySecond(steps: Float64Array): Float64Array {
  const each = Math.round(1 / STEP_S);
  return Float64Array.from({ length: Math.ceil(steps.length / each) }, (_, s) =>
    total(steps.subarray(s * each, (s + 1) * each)),
  );
}

/** What a faulty moisture sensor shows. */
function withFaults(shown_pct: Float64Array, faults: readonly FaultSpan[]): Float64Array {
  if (faults.length === 0) return shown_pct;
  return shown_pct.map((pct, k) => pct + (spanAt(faults, k * STEP_S)?.size ?? 0));
}

function logFiles(
  texts: ReadonlyMap<string, string>,
  machine: MachineSpec,
  field: FieldSpec,
): ReadonlyMap<string, Uint8Array> {
  const files = new Map<string, Uint8Array>();
  for (const [suffix, text] of texts) {
    const bytes = new Uint8Array(Buffer.from(text, 'latin1'));
    const ending = machine.logger.files === 'tally' ? 'csv' : 'log';
    const path = `logs/${machine.id}-${fileStem(field.name)}${suffix}.${ending}`;
    // fflate rather than Node's zlib, whose output differs between processors and versions.
    if (machine.logger.gzip) files.set(`${path}.gz`, gzipSync(bytes, { level: 9, mtime: 0 }));
    else files.set(path, bytes);
  }
  return files;
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

function runningTotal(amounts: Float64Array): Float64Array {
  const totals = new Float64Array(amounts.length + 1);
  for (let k = 0; k < amounts.length; k++) totals[k + 1] = totals[k] + amounts[k];
  return totals;
}
