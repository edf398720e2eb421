/** The crudest possible reading of a log, for the simulator's own tests: no clock, no filter, no repair. */
import { blockFrame } from './block-frame.ts';
import { wrapped_rad } from './path.ts';
import { type Patch, type Scene, scene } from './scene.ts';
import type { MachineSpec } from './scene-spec.ts';
import type { SimulatedSeason } from './simulate.ts';

/** A perfect machine and logger: what is left is physics. */
export const NOISE_FREE: Patch<MachineSpec> = {
  elevator: { wobble: 0, slip: 0, height_noise: 0, height_noise_mm: 0, edge_jitter_mm: 0 },
  receiver: { noise: 0 },
  logger: { drift_ppm: 0, moisture_noise_pct: 0, tilt_noise_deg: 0 },
};

/** A field of 120 m by 140 m, level, without a machine; its log is `logs/c1-small.log`. */
export function smallScene(): Scene {
  return scene('small').field({
    name: 'Small',
    corners: [
      [-60, -70],
      [60, -70],
      [60, 70],
      [-60, 70],
    ],
    relief_m: 0,
  });
}

/** Path of the log of `smallScene()` with a machine of id `c1`. */
export const SMALL_LOG = 'logs/c1-small.log';

/** A file of the season as Latin-1 text. */
export function textOf(season: SimulatedSeason, path: string): string {
  const bytes = season.files.get(path);
  if (bytes === undefined) throw new RangeError(`the season has no file ${path}`);
  return Buffer.from(bytes).toString('latin1');
}

/** [tick_us as counted, payload] of every line of an undamaged log. */
export function linesOf(season: SimulatedSeason, path: string): [number, string][] {
  return textOf(season, path)
    .trimEnd()
    .split('\n')
    .map((line) => {
      const comma = line.indexOf(',');
      return [Number(line.slice(0, comma)), line.slice(comma + 1)];
    });
}

/** Edge lines alone, from the first dark → lit edge on. */
export function edgesOf(season: SimulatedSeason, path: string): [number, string][] {
  const edges = linesOf(season, path).filter(([, payload]) => payload.length === 1);
  return edges.slice(edges.findIndex(([, payload]) => payload === '0'));
}

/** One fix as logged, in the frame of the first field. */
export interface LoggedFix {
  readonly east_m: number;
  readonly north_m: number;
  readonly course_rad: number;
  readonly speed_m_s: number;
}

/** RMC sentences of a one-a-second receiver, northern and western hemisphere. */
export function fixesOf(season: SimulatedSeason, path: string): LoggedFix[] {
  const { lon0, lat0 } = season.truth.fields[0].frame;
  const frame = blockFrame(lon0, lat0);
  return linesOf(season, path)
    .filter(([, payload]) => payload.startsWith('$GPRMC'))
    .map(([, payload]) => {
      const cells = payload.split(',');
      const degrees = (text: string, digits: number): number =>
        Number(text.slice(0, digits)) + Number(text.slice(digits)) / 60;
      const [east_m, north_m] = frame.eastNorth(-degrees(cells[5], 3), degrees(cells[3], 2));
      const course_rad = cells[8] === '' ? Number.NaN : (Number(cells[8]) * Math.PI) / 180;
      return {
        east_m,
        north_m,
        course_rad,
        speed_m_s: (Number(cells[7]) * 1852) / 3600,
      };
    });
}

/** Largest change of course to the fix before and after. */
export function courseChange_rad(fixes: readonly LoggedFix[], i: number): number {
  const change = (j: number): number => Math.abs(wrapped_rad(fixes[j].course_rad - fixes[i].course_rad));
  return Math.max(change(i - 1), change(i + 1));
}
