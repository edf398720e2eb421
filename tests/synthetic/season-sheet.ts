/** The season sheet and boundaries of a scene, as a careful user would write them. */
import type { FieldSheet, LogSheet, MachineSheet, Season } from '../../core/season.ts';
import { blockFrame } from './block-frame.ts';
import { anticlockwise } from './polygon.ts';
import type { FieldSpec, MachineSpec, SceneSpec } from './scene-spec.ts';

/** Files that one machine's logger wrote in one field. */
export interface LogFiles {
  readonly machine: string;
  readonly field: string;
  readonly paths: readonly string[];
}

/** `North Forty` → `north-forty`. */
export function fileStem(name: string): string {
  return name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '');
}

/** `season.json`. */
export function sheetText(spec: SceneSpec, logs: readonly LogFiles[], hasTickets: boolean): string {
  const season: Season = {
    format: 'sheaflight-season/1',
    name: spec.name,
    units: spec.units,
    machines: spec.machines.map(machineSheet),
    fields: spec.fields.map(fieldSheet),
    logs: logSheets(spec, logs),
    ...(hasTickets ? { tickets: ['tickets/tickets.csv'] } : {}),
    ...spec.sheet,
  };
  return `${compactJson(season)}\n`;
}

/** RFC 7946: anticlockwise ring, closed, nine decimals (0.1 mm). */
export function boundaryText(field: FieldSpec): string {
  const frame = blockFrame(field.lon0, field.lat0);
  const ring = anticlockwise(field.corners).map(([e, n]) =>
    frame.lonLat(e, n).map((degrees) => Number(degrees.toFixed(9))),
  );
  const feature = {
    type: 'Feature',
    properties: { name: field.name },
    geometry: { type: 'Polygon', coordinates: [[...ring, ring[0]]] },
  };
  return `${compactJson({ type: 'FeatureCollection', features: [feature] })}\n`;
}

function machineSheet(machine: MachineSpec): MachineSheet {
  const { pitch_mm, width_mm, depth_mm, thickness_mm, count } = machine.paddle;
  return {
    id: machine.id,
    name: machine.name,
    paddle: { pitch_mm, width_mm, depth_mm, thickness_mm, count },
    beam: { from_back_mm: machine.beam.from_back_mm, height_mm: machine.beam.height_mm },
    antenna: machine.antenna,
    header: machine.header,
  };
}

function fieldSheet(field: FieldSpec): FieldSheet {
  return {
    name: field.name,
    crop: field.crop,
    ...(field.boundary === 'surveyed' ? { boundary: `boundaries/${fileStem(field.name)}.geojson` } : {}),
    ...(field.standard_moisture_pct === undefined
      ? {}
      : { standard_moisture_pct: field.standard_moisture_pct }),
  };
}

/** One entry a machine where the boundaries tell the fields apart, else one a machine and field. */
function logSheets(spec: SceneSpec, logs: readonly LogFiles[]): readonly LogSheet[] {
  if (spec.fields.some((field) => field.boundary === 'none')) {
    return logs.map((log) => ({
      machine: log.machine,
      files: log.paths,
      field: log.field,
      ...tickZero(spec, log),
    }));
  }
  return spec.machines.flatMap(({ id }) => {
    const mine = logs.filter((log) => log.machine === id);
    const zeros = mine.map((log) => tickZero(spec, log));
    if (zeros.some((zero) => zero.tick_zero_utc !== undefined)) {
      return mine.map((log, i) => ({ machine: id, files: log.paths, ...zeros[i] }));
    }
    return [{ machine: id, files: mine.flatMap((log) => log.paths) }];
  });
}

/** UTC of tick zero, needed where the fixes have no ticks. */
function tickZero(spec: SceneSpec, log: LogFiles): { readonly tick_zero_utc?: string } {
  const machine = spec.machines.find(({ id }) => id === log.machine)!;
  const field = spec.fields.find(({ name }) => name === log.field)!;
  if (machine.logger.files !== 'beam_and_bare_nmea') return {};
  const zero_ms = Date.parse(field.start_utc) - machine.logger.start_tick_us / 1000;
  return { tick_zero_utc: new Date(Math.round(zero_ms)).toISOString() };
}

/** Two-space JSON with short arrays and objects on one line, as one would write it by hand. */
function compactJson(thing: unknown, indent = ''): string {
  const line = lineJson(thing);
  if (typeof thing !== 'object' || thing === null || line.length + indent.length <= 100) return line;
  const inner = `${indent}  `;
  if (Array.isArray(thing)) {
    return `[\n${thing.map((one) => inner + compactJson(one, inner)).join(',\n')}\n${indent}]`;
  }
  const members = Object.entries(thing).map(
    ([key, one]) => `${JSON.stringify(key)}: ${compactJson(one, inner)}`,
  );
  return `{\n${members.map((member) => inner + member).join(',\n')}\n${indent}}`;
}

function lineJson(thing: unknown): string {
  if (typeof thing !== 'object' || thing === null) return JSON.stringify(thing);
  if (Array.isArray(thing)) return `[${thing.map(lineJson).join(', ')}]`;
  const members = Object.entries(thing).map(([key, one]) => `${JSON.stringify(key)}: ${lineJson(one)}`);
  return `{ ${members.join(', ')} }`;
}
