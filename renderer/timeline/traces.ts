/** What the timeline draws: for each machine its rows in the order of time, and a pyramid for each track. */
import { BinnedOrder } from '../map/binned-order.ts';
import { pause } from '../map/pause.ts';
import type { FieldColumns, RowMask } from '../map/types.ts';
import { type Pyramid, pyramidSteps } from './pyramid.ts';
import { type TimeAxis, timeAxis } from './time-axis.ts';
import type { EmptyLevels, TrackName } from './types.ts';

/** Rows of one machine over the fields, in time order. */
export interface MachineRows {
  readonly machine: number;
  readonly t_s: Float64Array;
  /** Place of each row's field in the given columns, and its row there. */
  readonly field: Uint16Array;
  readonly row: Uint32Array;
  /** 1 while on a pass. */
  readonly cutting: Pyramid;
}

export interface Trace {
  readonly t_s: Float64Array;
  readonly numbers: Float64Array;
  readonly pyramid: Pyramid;
  /** Index of the machine among those shown, for its colour; −1 for a trace of the whole. */
  readonly place: number;
}

export interface TrackTraces {
  readonly track: TrackName;
  readonly traces: readonly Trace[];
  /** Range of the scale, SI. */
  readonly low: number;
  readonly high: number;
}

export interface Traces {
  readonly axis: TimeAxis;
  readonly machines: readonly MachineRows[];
  readonly tracks: readonly TrackTraces[];
}

const COLUMNS = {
  mass_flow: 'mass_flow_kg_s',
  yield: 'yield_kg_m2',
  speed: 'speed_m_s',
  moisture: 'moisture_pct',
  cut_width: 'cut_width_m',
} as const satisfies Partial<Record<TrackName, keyof FieldColumns>>;

/** Tracks whose scale begins at zero. */
const FROM_ZERO: readonly TrackName[] = ['mass_flow', 'yield', 'speed', 'cut_width'];

/** Gathers rows and builds pyramids, pausing before any step could hold the window up. */
export async function gatherTraces(
  columns: readonly FieldColumns[],
  tracks: readonly TrackName[],
  empties: EmptyLevels | null,
): Promise<Traces> {
  const machines: MachineRows[] = [];
  for (const machine of machinesIn(columns)) {
    await pause();
    const rows = rowsOf(columns, machine);
    const cutting = await steadily(
      pyramidSteps(gathered(rows, (field, row) => (columns[field].pass[row] >= 0 ? 1 : 0))),
    );
    machines.push({ machine, ...rows, cutting });
  }
  const drawn: TrackTraces[] = [];
  for (const track of tracks) {
    const traces: Trace[] = [];
    if (track === 'empty_level') {
      if (empties && empties.t_s.length > 0)
        traces.push({
          t_s: empties.t_s,
          numbers: empties.dark_fraction,
          pyramid: await steadily(pyramidSteps(empties.dark_fraction)),
          place: -1,
        });
    } else {
      const name = COLUMNS[track];
      for (const [place, rows] of machines.entries()) {
        await pause();
        const numbers = gathered(rows, (field, row) =>
          // A yield that was screened is on no map, and is not on this line either.
          track === 'yield' && columns[field].screened_by[row] !== 0 ? Number.NaN : columns[field][name][row],
        );
        await pause();
        traces.push({ t_s: rows.t_s, numbers, pyramid: await steadily(pyramidSteps(numbers)), place });
      }
    }
    if (traces.length > 0) drawn.push({ track, traces, ...rangeOf(track, traces) });
    await pause();
  }
  return { axis: timeAxis(machines.map(({ t_s }) => t_s)), machines, tracks: drawn };
}

/** Stretches of time in which rows of the first field are selected, start and end in turn; each machine for itself. */
export function selectedStretches(machines: readonly MachineRows[], selection: RowMask | null): Float64Array {
  if (!selection) return new Float64Array(0);
  const ends: number[] = [];
  for (const { t_s, field, row } of machines) {
    let isIn = false;
    for (let i = 0; i < t_s.length; i++) {
      const isSelected = field[i] === 0 && selection[row[i]] === 1;
      if (isSelected && !isIn) ends.push(t_s[i], t_s[i]);
      else if (isSelected) ends[ends.length - 1] = t_s[i];
      isIn = isSelected;
    }
  }
  return Float64Array.from(ends);
}

/** Index of the row nearest in time; −1 when there is none. */
export function nearestInTime(t_s: Float64Array, moment_s: number): number {
  const after = firstAtOrAfter(t_s, moment_s);
  if (after === 0) return t_s.length > 0 ? 0 : -1;
  if (after === t_s.length) return after - 1;
  return moment_s - t_s[after - 1] <= t_s[after] - moment_s ? after - 1 : after;
}

/** Index of the first element that is not before a moment; the length when all are. */
export function firstAtOrAfter(t_s: Float64Array, moment_s: number): number {
  let low = 0;
  let high = t_s.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (t_s[middle] < moment_s) low = middle + 1;
    else high = middle;
  }
  return low;
}

function machinesIn(columns: readonly FieldColumns[]): number[] {
  const seen = new Set<number>();
  for (const { machine } of columns) for (let row = 0; row < machine.length; row++) seen.add(machine[row]);
  return [...seen].sort((a, b) => a - b);
}

type Rows = Pick<MachineRows, 't_s' | 'field' | 'row'>;

function rowsOf(columns: readonly FieldColumns[], machine: number): Rows {
  const pieces = columns
    .map((of, field) => ({ field, rows: rowsIn(of, machine) }))
    .filter(({ rows }) => rows.length);
  // Fields are cut one after another more often than not: in order of their first row they are nearly sorted.
  pieces.sort((a, b) => columns[a.field].t_s[a.rows[0]] - columns[b.field].t_s[b.rows[0]]);
  const count = pieces.reduce((sum, { rows }) => sum + rows.length, 0);
  const all = { t_s: new Float64Array(count), field: new Uint16Array(count), row: new Uint32Array(count) };
  let next = 0;
  let isSorted = true;
  for (const { field, rows } of pieces) {
    for (const row of rows) {
      all.t_s[next] = columns[field].t_s[row];
      all.field[next] = field;
      all.row[next] = row;
      if (next > 0 && all.t_s[next] < all.t_s[next - 1]) isSorted = false;
      next++;
    }
  }
  return isSorted ? all : sorted(all);
}

function sorted({ t_s, field, row }: Rows): Rows {
  const order = Uint32Array.from(t_s.keys()).sort((a, b) => t_s[a] - t_s[b] || a - b);
  return {
    t_s: Float64Array.from(order, (at) => t_s[at]),
    field: Uint16Array.from(order, (at) => field[at]),
    row: Uint32Array.from(order, (at) => row[at]),
  };
}

function rowsIn({ t_s, machine: machines }: FieldColumns, machine: number): Uint32Array {
  const rows = new Uint32Array(machines.length);
  let next = 0;
  for (let row = 0; row < machines.length; row++)
    if (machines[row] === machine && Number.isFinite(t_s[row])) rows[next++] = row;
  return rows.subarray(0, next);
}

function gathered(rows: Rows, numberOf: (field: number, row: number) => number): Float64Array {
  const numbers = new Float64Array(rows.row.length);
  for (let i = 0; i < numbers.length; i++) numbers[i] = numberOf(rows.field[i], rows.row[i]);
  return numbers;
}

/** Runs a builder to its end, pausing at each of its stops. */
async function steadily<Made>(steps: Generator<undefined, Made>): Promise<Made> {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    await pause();
  }
}

/** Nearly all numbers fit; a few extremes are cut off at the edge. */
function rangeOf(track: TrackName, traces: readonly Trace[]): { low: number; high: number } {
  let low = Infinity;
  let high = -Infinity;
  for (const { numbers } of traces) {
    const order = new BinnedOrder(numbers);
    if (order.count === 0) continue;
    low = Math.min(low, order.quantile(0.005));
    high = Math.max(high, order.quantile(0.995));
  }
  if (!(high >= low)) return { low: 0, high: 1 };
  if (FROM_ZERO.includes(track)) low = Math.min(0, low);
  const room = 0.06 * (high - low) || 0.5;
  return { low: FROM_ZERO.includes(track) ? low : low - room, high: high + room };
}
