/** Strips of a layout as the swaths that a machine would have logged: row by row, with position errors if wanted. */
import type { Swaths } from '../../../core/track/track.ts';
import { Random } from '../../synthetic/random.ts';
import { drift } from './drift.ts';
import { headingsAlong, type Layout, type Point } from './layouts.ts';

export interface PositionErrors {
  readonly seed: number;
  /** Changes from row to row. */
  readonly white_m: number;
  /** Drifts with a correlation time of 10 min. */
  readonly slow_m: number;
  readonly tau_s?: number;
}

interface Line {
  readonly t_s: number;
  readonly east_m: number;
  readonly north_m: number;
  readonly heading_rad: number;
}

const PAUSE_S = 25;

export function layoutSwaths(
  layout: Layout,
  row_m: number,
  errors: PositionErrors = { seed: 1, white_m: 0, slow_m: 0 },
): Swaths {
  const rows: { machine: number; pass: number; from: Line; to: Line }[] = [];
  for (const machine of new Set(layout.strips.map((strip) => strip.machine))) {
    const noise = new Random(errors.seed + 100 * machine, 'track');
    const step_s = row_m / 2;
    const east = drift(noise, errors.slow_m, errors.tau_s ?? 600, step_s);
    const north = drift(noise, errors.slow_m, errors.tau_s ?? 600, step_s);
    let t_s = 10 * machine;
    layout.strips
      .filter((strip) => strip.machine === machine)
      .forEach((strip, pass) => {
        const lines = linesOf(strip.points, row_m, t_s).map((line) => ({
          ...line,
          east_m: line.east_m + east() + errors.white_m * noise.normal(),
          north_m: line.north_m + north() + errors.white_m * noise.normal(),
        }));
        for (let k = 1; k < lines.length; k++) rows.push({ machine, pass, from: lines[k - 1], to: lines[k] });
        for (let s = 0; s < PAUSE_S; s += step_s) [east(), north()];
        t_s = lines[lines.length - 1].t_s + PAUSE_S;
      });
  }
  rows.sort((a, b) => a.from.t_s - b.from.t_s || a.machine - b.machine);
  const column = (pick: (row: (typeof rows)[number]) => number) => Float64Array.from(rows, pick);
  const se_m = Math.max(0.01, Math.hypot(errors.white_m, errors.slow_m));
  return {
    t0_s: column((row) => row.from.t_s),
    t1_s: column((row) => row.to.t_s),
    machine: Int32Array.from(rows, (row) => row.machine),
    pass: Int32Array.from(rows, (row) => row.pass),
    east0_m: column((row) => row.from.east_m),
    north0_m: column((row) => row.from.north_m),
    heading0_rad: column((row) => row.from.heading_rad),
    east1_m: column((row) => row.to.east_m),
    north1_m: column((row) => row.to.north_m),
    heading1_rad: column((row) => row.to.heading_rad),
    header_width_m: column(() => layout.width_m),
    position_se_m: column(() => se_m),
  };
}

/** The strip's line every `row_m` at 2 m/s, its end included. */
function linesOf(points: readonly Point[], row_m: number, start_s: number): Line[] {
  const headings = headingsAlong(points);
  const lines: Line[] = [];
  let way = 0;
  let next = 0;
  for (let k = 0; k < points.length; k++) {
    if (k > 0) way += Math.hypot(points[k][0] - points[k - 1][0], points[k][1] - points[k - 1][1]);
    if (way < next && k < points.length - 1) continue;
    next += row_m;
    lines.push({
      t_s: start_s + way / 2,
      east_m: points[k][0],
      north_m: points[k][1],
      heading_rad: headings[k],
    });
  }
  return lines;
}
