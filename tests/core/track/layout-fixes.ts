/**
 * A layout driven for real: strips joined by ways with the header up, logged by receivers with errors, and followed
 * through smoothing, cutting line and passes to swaths. The machine points along the way of its header's middle, which
 * is true to a real one where strips are straight or nearly so.
 */
import { cuttingLine } from '../../../core/track/cutting-line.ts';
import type { LocalFrame } from '../../../core/track/local-frame.ts';
import { findPasses } from '../../../core/track/passes.ts';
import { smoothTrack } from '../../../core/track/smooth.ts';
import type { Swaths } from '../../../core/track/track.ts';
import { columnsOf, loggedFixes, type Receiver, type Way } from './driven-way.ts';
import { headingsAlong, type Layout, type Point } from './layouts.ts';

const SPEED_M_S = 2;
const LEAD_M = 12;
/** The antenna sits this far behind the cutting line and to its right. */
const ANTENNA = { ahead_of_cut_m: -3.2, right_of_centre_m: 0.4 };

interface DrivenMachine {
  readonly way: Way;
  readonly header: { readonly t_s: Float64Array; readonly up: Uint8Array };
}

/** The antenna's way of one machine, a row a second at 2 m/s, and its header's moves. */
function drive(layout: Layout, machine: number): DrivenMachine {
  const points: Point[] = [];
  const moves: { at_m: number; up: number }[] = [{ at_m: -1, up: 1 }];
  let length = 0;
  const push = (point: Point) => {
    const last = points[points.length - 1];
    if (last !== undefined) length += Math.hypot(point[0] - last[0], point[1] - last[1]);
    points.push(point);
  };
  for (const strip of layout.strips) {
    if (strip.machine !== machine) continue;
    const headings = headingsAlong(strip.points);
    const out = (k: number, by: number): Point => [
      strip.points[k][0] + by * Math.sin(headings[k]),
      strip.points[k][1] + by * Math.cos(headings[k]),
    ];
    for (let by = -LEAD_M; by < -0.1; by += 0.5) push(out(0, by));
    push(strip.points[0]);
    moves.push({ at_m: length, up: 0 });
    for (const point of strip.points.slice(1)) push(point);
    moves.push({ at_m: length, up: 1 });
    for (let by = 0.5; by < LEAD_M; by += 0.5) push(out(strip.points.length - 1, by));
  }
  const start_s = 10 * machine;
  return {
    way: antennaWay(points, start_s),
    header: {
      t_s: Float64Array.from(moves, ({ at_m }) => start_s + at_m / SPEED_M_S),
      up: Uint8Array.from(moves, ({ up }) => up),
    },
  };
}

function antennaWay(points: readonly Point[], start_s: number): Way {
  const headings = headingsAlong(points);
  const rows: number[][] = [];
  let before = 0;
  let next = 0;
  for (let k = 1; k < points.length; k++) {
    const step = Math.hypot(points[k][0] - points[k - 1][0], points[k][1] - points[k - 1][1]);
    for (; next * SPEED_M_S <= before + step; next++) {
      const share = step > 0 ? (next * SPEED_M_S - before) / step : 0;
      const turn = headings[k] - headings[k - 1];
      const heading = headings[k - 1] + share * Math.atan2(Math.sin(turn), Math.cos(turn));
      const east = points[k - 1][0] + share * (points[k][0] - points[k - 1][0]);
      const north = points[k - 1][1] + share * (points[k][1] - points[k - 1][1]);
      rows.push([
        start_s + next,
        east + ANTENNA.ahead_of_cut_m * Math.sin(heading) + ANTENNA.right_of_centre_m * Math.cos(heading),
        north + ANTENNA.ahead_of_cut_m * Math.cos(heading) - ANTENNA.right_of_centre_m * Math.sin(heading),
        heading,
      ]);
    }
    before += step;
  }
  const column = (at: number) => Float64Array.from(rows, (row) => row[at]);
  return {
    t_s: column(0),
    east_m: column(1),
    north_m: column(2),
    heading_rad: column(3),
    speed_m_s: new Float64Array(rows.length).fill(SPEED_M_S),
    leg: new Int32Array(rows.length),
  };
}

/** Swaths of all machines as found from noisy fixes, in time order. */
export function swathsFromFixes(layout: Layout, frame: LocalFrame, receiver: Receiver): Swaths {
  const machines = [...new Set(layout.strips.map((strip) => strip.machine))];
  const rows = machines.flatMap((machine) => machineRows(layout, machine, frame, receiver));
  rows.sort((a, b) => a.t0_s - b.t0_s || a.machine - b.machine);
  const column = (name: Exclude<keyof Row, 'machine' | 'pass'>) =>
    Float64Array.from(rows, (row) => row[name]);
  return {
    t0_s: column('t0_s'),
    t1_s: column('t1_s'),
    machine: Int32Array.from(rows, (row) => row.machine),
    pass: Int32Array.from(rows, (row) => row.pass),
    east0_m: column('east0_m'),
    north0_m: column('north0_m'),
    heading0_rad: column('heading0_rad'),
    east1_m: column('east1_m'),
    north1_m: column('north1_m'),
    heading1_rad: column('heading1_rad'),
    header_width_m: new Float64Array(rows.length).fill(layout.width_m),
    position_se_m: column('position_se_m'),
  };
}

interface Row {
  readonly machine: number;
  readonly pass: number;
  readonly t0_s: number;
  readonly t1_s: number;
  readonly east0_m: number;
  readonly north0_m: number;
  readonly heading0_rad: number;
  readonly east1_m: number;
  readonly north1_m: number;
  readonly heading1_rad: number;
  readonly position_se_m: number;
}

function machineRows(layout: Layout, machine: number, frame: LocalFrame, receiver: Receiver): Row[] {
  const { way, header } = drive(layout, machine);
  const logged = loggedFixes(way, { ...receiver, seed: receiver.seed + 1000 * machine });
  const { track } = smoothTrack(columnsOf(logged, frame), frame);
  const line = cuttingLine(track, ANTENNA);
  const passes = findPasses({ ...track, header });
  const rows: Row[] = [];
  for (let i = 0; i + 1 < track.t_s.length; i++) {
    const mix = (column: Float64Array, share: number) => column[i] + share * (column[i + 1] - column[i]);
    const turn = track.heading_rad[i + 1] - track.heading_rad[i];
    const heading = (share: number) =>
      track.heading_rad[i] + share * Math.atan2(Math.sin(turn), Math.cos(turn));
    const cuts = passes.pass[i] >= 0;
    const from = cuts ? passes.cut_from[i] : 0;
    const to = cuts ? passes.cut_to[i] : 1;
    rows.push({
      machine,
      pass: passes.pass[i],
      t0_s: mix(track.t_s, from),
      t1_s: mix(track.t_s, to),
      east0_m: mix(line.east_m, from),
      north0_m: mix(line.north_m, from),
      heading0_rad: heading(from),
      east1_m: mix(line.east_m, to),
      north1_m: mix(line.north_m, to),
      heading1_rad: heading(to),
      position_se_m: track.position_se_m[i],
    });
  }
  return rows;
}
