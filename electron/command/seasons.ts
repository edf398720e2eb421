/** `sheaflight seasons`: what several seasons of one field have in common. */
import { join } from 'node:path';
import { yieldWords } from '../../core/analysis/season-comparisons.ts';
import type { Stability } from '../../core/analysis/seasons/stability.ts';
import { stabilityFiles } from '../../core/export/comparison/stability-files.ts';
import type { Season } from '../../core/season.ts';
import { acresFromM2, m2FromHa, tHaFromKgM2 } from '../../core/units.ts';
import { writeFiles } from '../host/atomic-write.ts';
import { SeasonCache } from '../host/cache/season-cache.ts';
import { generatedBy } from '../host/program-version.ts';
import { runSeason } from '../host/run-season.ts';
import { stabilityOfSeasons } from '../host/season-stability.ts';
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

export async function seasons(
  folders: readonly string[],
  { field, out = join(folders[0], 'out'), cell, high, unstableCv, quiet }: SeasonsChoices,
  streams: Streams,
): Promise<ExitCode> {
  const progress = progressLine(streams);
  const sheet = {
    ...(cell === undefined ? {} : { cell_m: cell }),
    ...(high === undefined ? {} : { high_pct: high }),
    ...(unstableCv === undefined ? {} : { unstable_cv_pct: unstableCv }),
  };
  const ran: Season[] = [];
  const runOf = async (folder: string) => {
    let cache: SeasonCache | undefined;
    const ended = await runSeason(folder, progress.show, (found) => {
      cache = new SeasonCache(found, streams.layer);
      return { cache };
    });
    if (ended.ok) ran.push(ended.value.season);
    const unkept = await cache?.save();
    if (unkept !== undefined) streams.err(`sheaflight: ${unkept.text}\n`);
    return ended;
  };
  const made = await stabilityOfSeasons({ folders, field, sheet }, runOf, progress.show);
  progress.wipe();
  if (!made.ok) return refuse(made, streams);
  for (const { text } of made.notices) streams.err(`sheaflight: ${printable(text)}\n`);
  const { stability, frame } = made.value;
  const files = stabilityFiles(stability, frame, { field, generated_by: generatedBy() });
  const written = await writeFiles(out, files, { layer: streams.layer });
  if (!written.ok) return refuse(written, streams);
  if (!quiet) {
    streams.out(`${printable(told(stability, ran[0]))}\n`);
    for (const { path } of written.value) streams.out(`${path}\n`);
  }
  return stability.cells.length > 0 ? EXIT.done : EXIT.nothing_usable;
}

/** In the units of the first season. */
function told({ seasons: made, classes, definition, grid, cells }: Stability, first: Season): string {
  const how = { given: 'as named', name: 'by its name', ground: 'by its ground' } as const;
  const lines = made.map((one) => {
    const share =
      one.matched_by === 'given' ? '' : `, ${Math.round(100 * one.shared_ground)} % of the ground shared`;
    const { unit, number } = yieldWords(first, one.crop);
    const mean_t_ha = tHaFromKgM2(one.mean_yield_kg_m2);
    return `${one.name}: ${one.field}, ${one.crop}, mean ${number(mean_t_ha)} ${unit} (found ${how[one.matched_by]}${share})`;
  });
  const parts = classes.map(({ name, share, area_ha, mean_pct }) => {
    const mean = mean_pct === null ? '' : `, mean ${mean_pct.toFixed(0)} %`;
    const area =
      first.units === 'us' ? `${acresFromM2(m2FromHa(area_ha)).toFixed(2)} ac` : `${area_ha.toFixed(2)} ha`;
    return `  ${name}: ${(100 * share).toFixed(0)} % of the ground, ${area}${mean}`;
  });
  return [...lines, `${cells.length} cells of ${grid.cell_m} m:`, ...parts, definition].join('\n');
}
