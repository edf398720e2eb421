/** `sheaflight seasons`: what several seasons of one field have in common. */
import { realpath } from 'node:fs/promises';
import { join } from 'node:path';
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
import { type DataError, failure, type Result, success } from '../../core/errors.ts';
import { stabilityFiles } from '../../core/export/comparison/stability-files.ts';
import type { FieldPoints } from '../../core/result.ts';
import { suggestedCell_m } from '../../core/surface/cell-size.ts';
import { frameOfPoints } from '../../core/surface/points-frame.ts';
import type { LocalFrame } from '../../core/track/local-frame.ts';
import { tHaFromKgM2 } from '../../core/units.ts';
import { writeFiles } from '../host/atomic-write.ts';
import { generatedBy } from '../host/program-version.ts';
import { runSeason, type SeasonRun } from '../host/run-season.ts';
import { surfaceOfField } from '../host/surface-threads.ts';
import { EXIT, type ExitCode } from './exit-codes.ts';
import { printable } from './printable.ts';
import { refuse } from './refuse.ts';
import { progressLine, type Streams } from './streams.ts';

export interface SeasonsChoices {
  readonly field: string;
  readonly out?: string;
  readonly cell?: number;
  /** Thresholds instead of those of the first season's sheet. */
  readonly high?: number;
  readonly unstableCv?: number;
  readonly quiet?: boolean;
}

interface MatchedSeason extends FieldMatch {
  readonly run: SeasonRun;
  readonly isFirst: boolean;
}

export async function seasons(
  folders: readonly string[],
  choices: SeasonsChoices,
  streams: Streams,
): Promise<ExitCode> {
  if (folders.length < 2) return refuse({ error: tooFew(choices.field, 1), notices: [] }, streams);
  const twice = await givenTwice(folders);
  if (twice !== undefined) return refuse({ error: twice, notices: [] }, streams);
  const progress = progressLine(streams);
  const runs: SeasonRun[] = [];
  for (const folder of folders) {
    const run = await runSeason(folder, progress.show);
    if (!run.ok) {
      progress.wipe();
      return refuse(run, streams);
    }
    runs.push(run.value);
  }
  const matched = matchedSeasons(runs, choices.field, (text) => {
    progress.wipe();
    streams.err(`sheaflight: ${printable(text)}\n`);
  });
  if (!matched.ok) {
    progress.wipe();
    return refuse(matched, streams);
  }
  const made = await stabilityOf(matched.value.seasons, sheetOf(runs[0], choices), progress.show);
  progress.wipe();
  if (!made.ok) return refuse(made, streams);
  const about = { field: choices.field, generated_by: generatedBy() };
  const files = stabilityFiles(made.value, matched.value.frame, about);
  const out = choices.out ?? join(folders[0], 'out');
  const written = await writeFiles(out, files, { layer: streams.layer });
  if (!written.ok) return refuse(written, streams);
  if (!choices.quiet) {
    streams.out(`${printable(told(made.value))}\n`);
    for (const { path } of written.value) streams.out(`${path}\n`);
  }
  return made.value.cells.length > 0 ? EXIT.done : EXIT.nothing_usable;
}

/** One season given as two would be as stable as can be. */
async function givenTwice(folders: readonly string[]): Promise<DataError | undefined> {
  const real = await Promise.all(folders.map((folder) => realpath(folder).catch(() => folder)));
  const second = real.findIndex((folder, k) => real.indexOf(folder) < k);
  if (second < 0) return undefined;
  const text = `${folders[second]} is given twice; give each season once.`;
  return { code: 'season_given_twice', source: folders[second], text };
}

function sheetOf({ season }: SeasonRun, { cell, high, unstableCv }: SeasonsChoices): StabilitySheet {
  return {
    ...season.settings?.seasons,
    ...(cell === undefined ? {} : { cell_m: cell }),
    ...(high === undefined ? {} : { high_pct: high }),
    ...(unstableCv === undefined ? {} : { unstable_cv_pct: unstableCv }),
  };
}

/** The field in each season that has it, in the plane of the first; of those that do not it is said. */
function matchedSeasons(
  runs: readonly SeasonRun[],
  field: string,
  say: (text: string) => void,
): Result<{ readonly frame: LocalFrame; readonly seasons: readonly MatchedSeason[] }> {
  const first = runs.find(({ result }) => result.points.some((points) => points.field === field));
  const own = first?.result.points.find((points) => points.field === field);
  const frame = own && frameOfPoints(own);
  if (first === undefined || own === undefined || frame === undefined) {
    const known = [...new Set(runs.flatMap(({ result }) => result.points.map((points) => points.field)))];
    const text = `None of the seasons has a field "${field}" with points; there is ${known.map((name) => `"${name}"`).join(', ') || 'none'}.`;
    return failure({ code: 'no_such_field', source: field, text });
  }
  const found = runs.flatMap((run): MatchedSeason[] => {
    if (run === first) return [{ run, points: own, by: 'name', shared: 1, isFirst: true }];
    const match = sameField(
      own,
      run.result.points.map((points) => inFrame(points, frame)),
    );
    if (match !== undefined) return [{ run, ...match, isFirst: false }];
    say(`${run.season.name} has no field where "${field}" lies, by name or by ground; it is left out.`);
    return [];
  });
  return found.length < 2 ? failure(tooFew(field, found.length)) : success({ frame, seasons: found });
}

async function stabilityOf(
  matched: readonly MatchedSeason[],
  sheet: StabilitySheet,
  show: (stage: string, share: number) => void,
): Promise<Result<Stability>> {
  const cell_m = sheet.cell_m ?? Math.max(...matched.map(({ points }) => cellOf(points)));
  const surfaces: SeasonSurface[] = [];
  for (const [k, { run, points, by, shared, isFirst }] of matched.entries()) {
    show(`surface of ${run.season.name}`, k / matched.length);
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
  return success(seasonStability(grid, surfaces, sheet));
}

function cellOf({ cut_width_m, fresh_area_m2, screened_by }: FieldPoints): number {
  const isKept = (_: number, row: number) => screened_by[row] === 0;
  return suggestedCell_m(cut_width_m.filter(isKept), fresh_area_m2.filter(isKept)) || DEFAULT_CELL_M;
}

/** Where points stand for no known ground; common practice, no source. */
const DEFAULT_CELL_M = 10;

function told({ seasons: made, classes, definition, grid, cells }: Stability): string {
  const how = { given: 'as named', name: 'by its name', ground: 'by its ground' } as const;
  const lines = made.map((one) => {
    const share =
      one.matched_by === 'given' ? '' : `, ${Math.round(100 * one.shared_ground)} % of the ground shared`;
    return `${one.name}: ${one.field}, ${one.crop}, mean ${tHaFromKgM2(one.mean_yield_kg_m2).toFixed(2)} t/ha (found ${how[one.matched_by]}${share})`;
  });
  const parts = classes.map(({ name, share, area_ha, mean_pct }) => {
    const mean = mean_pct === null ? '' : `, mean ${mean_pct.toFixed(0)} %`;
    return `  ${name}: ${(100 * share).toFixed(0)} % of the ground, ${area_ha.toFixed(2)} ha${mean}`;
  });
  return [...lines, `${cells.length} cells of ${grid.cell_m} m:`, ...parts, definition].join('\n');
}

function tooFew(field: string, count: number): DataError {
  const text = `Stability needs two seasons or more with field "${field}", and there is ${count === 1 ? 'one' : 'none'}; give more season folders.`;
  return { code: 'too_few_seasons', source: field, text };
}
