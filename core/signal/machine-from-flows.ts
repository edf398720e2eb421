/** Logs that already carry a flow → one machine record. The positions are the records' own. */
import { concatenate, pickRows } from '../columns.ts';
import { type Notice, type Result, success } from '../errors.ts';
import type { FlowLogColumns } from '../read/logger-run.ts';
import { median } from '../stats/quantiles.ts';
import { forwardClock, isKnown } from './flow-records.ts';
import type { MachineRecord } from './machine-record.ts';
import { rowsInTime, withoutWildTimes } from './row-order.ts';

/** Rows of one log with the field that its log entry names (−1 for none). */
export interface FlowPart {
  readonly columns: FlowLogColumns;
  readonly field: number;
}

export interface FlowContext {
  readonly machine: number;
  readonly epoch_utc_s: number;
  /** Names of the season's fields: rows that name theirs are given to it. */
  readonly fields: readonly string[];
}

type NumberColumn = Exclude<keyof FlowLogColumns, 'source' | 'field'>;

/** All rows on a clock that never runs backwards. */
export function machineFromFlows(parts: readonly FlowPart[], context: FlowContext): Result<MachineRecord> {
  const times = parts.map(({ columns }) => withoutWildTimes(columns.utc_s));
  const rows = rowsInTime(times);
  const columns = joinFlowColumns(
    parts.map((part) => part.columns),
    rows,
  );
  const interval_s = believableIntervals(columns.interval_s);
  const { t_s, backward } = forwardClock(pickRows(concatenate(times), rows), interval_s, context.epoch_utc_s);
  const hint = parts.flatMap((part) => fieldHints(part, context.fields));
  const unknown = new Float64Array(t_s.length).fill(Number.NaN);
  return success(
    {
      machine: context.machine,
      source: columns.source,
      fixes: {
        t_s,
        latitude_deg: columns.latitude_deg,
        longitude_deg: columns.longitude_deg,
        altitude_m: columns.altitude_m,
        speed_m_s: columns.speed_m_s,
        course_deg: columns.heading_deg,
        quality: columns.quality,
        satellites: unknown,
        hdop: unknown,
      },
      field_hint: Int32Array.from(rows, (row) => hint[row]),
      header: { t_s: new Float64Array(), up: new Uint8Array() },
      moisture: { t_s, moisture_pct: columns.moisture_pct },
      pitch: { t_s: new Float64Array(), pitch_rad: new Float64Array() },
      grain: { kind: 'flow', records: { columns, t_s, interval_s } },
    },
    [...(backward > 0 ? [steppedBack(columns.source, backward)] : []), ...volumesLeftOut(parts)],
  );
}

/** Intervals that are missing or negative take the usual one; 0 where no row knows. */
function believableIntervals(interval_s: Float64Array): Float64Array {
  const usual_s = median(interval_s.filter((s) => s > 0));
  return interval_s.map((s) => (s >= 0 ? s : usual_s || 0));
}

/** The field that each row names, else the one named for its log. */
function fieldHints({ columns, field }: FlowPart, fields: readonly string[]): number[] {
  const byName = new Map(fields.map((name, f) => [name.toLowerCase(), f]));
  const named = columns.field;
  return Array.from(columns.utc_s, (_, i) => byName.get(named?.[i].toLowerCase() ?? '') ?? field);
}

function joinFlowColumns(parts: readonly FlowLogColumns[], rows: Int32Array): FlowLogColumns {
  const column = (name: NumberColumn) => pickRows(concatenate(parts.map((part) => part[name])), rows);
  return {
    source: [...new Set(parts.map((part) => part.source))].join(', '),
    utc_s: column('utc_s'),
    interval_s: column('interval_s'),
    latitude_deg: column('latitude_deg'),
    longitude_deg: column('longitude_deg'),
    altitude_m: column('altitude_m'),
    mass_flow_kg_s: column('mass_flow_kg_s'),
    volume_flow_m3_s: column('volume_flow_m3_s'),
    distance_m: column('distance_m'),
    speed_m_s: column('speed_m_s'),
    swath_m: column('swath_m'),
    heading_deg: column('heading_deg'),
    moisture_pct: column('moisture_pct'),
    up: column('up'),
    quality: column('quality'),
  };
}

/** Logs of volume beside logs of mass: the two cannot be added up. */
function volumesLeftOut(parts: readonly FlowPart[]): Notice[] {
  const volumes = parts.filter(({ columns }) => !isKnown(columns.mass_flow_kg_s));
  if (volumes.length === parts.length) return [];
  return volumes.map(({ columns: { source } }) => ({
    code: 'volume_beside_mass',
    severity: 'mend',
    source,
    count: 1,
    text: `${source}: this log holds no mass flow, but others of the same machine do, and litres cannot be added to kilograms; its grain is in no total. Enter it in season.json as the log of a machine of its own.`,
  }));
}

function steppedBack(source: string, count: number): Notice {
  return {
    code: 'time_ran_backwards',
    severity: 'info',
    source,
    count,
    text: `${source}: the time stepped backwards ${count} time${count === 1 ? '' : 's'}; no record was lost, the next ones were moved on by a few seconds until the next pause.`,
  };
}
