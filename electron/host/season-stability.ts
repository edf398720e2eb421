/** Several seasons of one field, from their folders: for the command and for the window alike. */
import { realpath } from 'node:fs/promises';
import {
  commonGrid,
  type FieldMatch,
  inFrame,
  sameField,
} from '../../core/analysis/seasons/common-ground.ts';
import {
  type SeasonSurface,
  type Stability,
  seasonStability,
} from '../../core/analysis/seasons/stability.ts';
import type { StabilitySheet } from '../../core/analysis/seasons/stability-sheet.ts';
import { type DataError, failure, type Notice, type Result, success } from '../../core/errors.ts';
import type { FieldPoints } from '../../core/result.ts';
import { suggestedCell_m } from '../../core/surface/cell-size.ts';
import { frameOfPoints } from '../../core/surface/points-frame.ts';
import type { LocalFrame } from '../../core/track/local-frame.ts';
import type { ProgressListener, SeasonRun } from './run-season.ts';
import { surfaceOfField } from './surface-threads.ts';

export interface StabilityRequest {
  readonly folders: readonly string[];
  /** Name of the field in one of the seasons; in the others it is found by that or by its ground. */
  readonly field: string;
  /** What goes before the first season's own `settings.seasons`. */
  readonly sheet: StabilitySheet;
}

export interface MadeStability {
  readonly stability: Stability;
  /** The plane of its grid. */
  readonly frame: LocalFrame;
}

interface MatchedSeason extends FieldMatch {
  readonly run: SeasonRun;
  readonly isFirst: boolean;
}

/** Seasons without the field are left out with a notice. Fails for fewer than two that have it, and where a season cannot be run. */
export async function stabilityOfSeasons(
  { folders, field, sheet }: StabilityRequest,
  runOf: (folder: string) => Promise<Result<SeasonRun>>,
  onProgress: ProgressListener,
): Promise<Result<MadeStability>> {
  if (folders.length < 2) return failure(tooFew(field, folders.length));
  const twice = await givenTwice(folders);
  if (twice !== undefined) return failure(twice);
  const runs: SeasonRun[] = [];
  for (const folder of folders) {
    const run = await runOf(folder);
    if (!run.ok) return run;
    runs.push(run.value);
  }
  const matched = matchedSeasons(runs, field);
  if (!matched.ok) return matched;
  const { frame, seasons } = matched.value;
  const asked = { ...runs[0].season.settings?.seasons, ...sheet };
  const made = await stabilityOf(seasons, asked, onProgress);
  return made.ok ? success({ stability: made.value, frame }, matched.notices) : made;
}

/** One season given as two would be as stable as can be. */
async function givenTwice(folders: readonly string[]): Promise<DataError | undefined> {
  const real = await Promise.all(folders.map((folder) => realpath(folder).catch(() => folder)));
  const second = real.findIndex((folder, k) => real.indexOf(folder) < k);
  if (second < 0) return undefined;
  const text = `${folders[second]} is given twice; give each season once.`;
  return { code: 'season_given_twice', source: folders[second], text };
}

/** The field in each season that has it, in the plane of the first; of those that do not it is said. */
function matchedSeasons(
  runs: readonly SeasonRun[],
  field: string,
): Result<{ readonly frame: LocalFrame; readonly seasons: readonly MatchedSeason[] }> {
  const first = runs.find(({ result }) => result.points.some((points) => points.field === field));
  const own = first?.result.points.find((points) => points.field === field);
  const frame = own && frameOfPoints(own);
  if (first === undefined || own === undefined || frame === undefined) {
    const known = [...new Set(runs.flatMap(({ result }) => result.points.map((points) => points.field)))];
    const text = `None of the seasons has a field "${field}" with points; there is ${known.map((name) => `"${name}"`).join(', ') || 'none'}.`;
    return failure({ code: 'no_such_field', source: field, text });
  }
  const notices: Notice[] = [];
  const found = runs.flatMap((run): MatchedSeason[] => {
    if (run === first) return [{ run, points: own, by: 'name', shared: 1, isFirst: true }];
    const match = sameField(
      own,
      run.result.points.map((points) => inFrame(points, frame)),
    );
    if (match !== undefined) return [{ run, ...match, isFirst: false }];
    const text = `${run.season.name} has no field where "${field}" lies, by name or by ground; it is left out.`;
    notices.push({ code: 'season_without_field', severity: 'look', source: run.season.name, count: 1, text });
    return [];
  });
  return found.length < 2
    ? failure(tooFew(field, found.length), notices)
    : success({ frame, seasons: found }, notices);
}

async function stabilityOf(
  matched: readonly MatchedSeason[],
  sheet: StabilitySheet,
  onProgress: ProgressListener,
): Promise<Result<Stability>> {
  const cell_m = sheet.cell_m ?? Math.max(...matched.map(({ points }) => cellOf(points)));
  const surfaces: SeasonSurface[] = [];
  for (const [k, { run, points, by, shared, isFirst }] of matched.entries()) {
    onProgress(`surface of ${run.season.name}`, k / matched.length);
    // ground near the points of each season: what a boundary holds beside that was another crop's perhaps
    const asked = { points, outline: [], sheet: { ...run.season.settings?.surface, cell_m } };
    const surface = await surfaceOfField(asked);
    if (!surface.ok) return surface;
    surfaces.push({
      name: run.season.name,
      field: points.field,
      crop: points.crop,
      matched_by: isFirst ? 'given' : by,
      shared_ground: shared,
      grid: surface.value.plan.grid,
      cells: surface.value.plan.cells,
      yield_kg_m2: surface.value.cells.yield_kg_m2,
    });
  }
  const grid = commonGrid(
    matched.map(({ points }) => points),
    cell_m,
  );
  if (grid === undefined) {
    const text = `Cells of ${cell_m} m would be too many over the ground of all seasons; make them larger.`;
    return failure({ code: 'cells_too_small', source: matched[0].points.field, text });
  }
  return success(seasonStability(grid, surfaces, sheet));
}

function cellOf({ cut_width_m, fresh_area_m2, screened_by }: FieldPoints): number {
  const isKept = (_: number, row: number) => screened_by[row] === 0;
  return suggestedCell_m(cut_width_m.filter(isKept), fresh_area_m2.filter(isKept)) || DEFAULT_CELL_M;
}

/** Where points stand for no known ground; common practice, no source. */
const DEFAULT_CELL_M = 10;

function tooFew(field: string, count: number): DataError {
  const text = `Stability needs two seasons or more with field "${field}", and there is ${count === 1 ? 'one' : 'none'}; give more season folders.`;
  return { code: 'too_few_seasons', source: field, text };
}
