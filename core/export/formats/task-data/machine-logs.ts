/** A layer's points parted by machine, which is how task data hold them. */
import type { ExportLayer } from '../../layers/layer.ts';
import { columnNamed, numbersNamed, roundedTo } from '../layer-values.ts';
import { LOGGED_QUANTITIES } from './logged-quantities.ts';
import type { TimeLog } from './time-log.ts';

export interface MachineLog extends TimeLog {
  /** As people call it. */
  readonly machine: string;
}

/** In the order in which the machines first cut. Points without a time or a place are left out: a record has no way to say so. */
export function machineLogs(layer: ExportLayer): MachineLog[] {
  const { geometry } = layer;
  const times = numbersNamed(layer, 'time');
  if (geometry.kind !== 'point' || times === undefined) return [];
  const machines = columnNamed(layer, 'machine');
  const byMachine = new Map<string, number[]>();
  for (let row = 0; row < layer.rows; row++) {
    const places = geometry.longitude_deg[row] + geometry.latitude_deg[row] + times.numbers[row];
    if (!Number.isFinite(places)) continue;
    const machine = machines?.kind === 'text' ? machines.words[machines.codes[row]] : undefined;
    const rows = byMachine.get(machine ?? UNKNOWN_MACHINE);
    if (rows === undefined) byMachine.set(machine ?? UNKNOWN_MACHINE, [row]);
    else rows.push(row);
  }
  const quantities = LOGGED_QUANTITIES.filter(({ of }) => of(layer) !== undefined);
  const utc = (row: number) => roundedTo(times.numbers[row] * 1000, 0);
  return [...byMachine].map(([machine, found]) => {
    const rows = Int32Array.from(found.sort((a, b) => utc(a) - utc(b)));
    return { machine, layer, rows, utc_ms: Float64Array.from(rows, utc), quantities };
  });
}

const UNKNOWN_MACHINE = 'machine';
