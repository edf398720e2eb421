/** Comparisons of a season's result: files of treatments are read from its folder, everything else is in the core. */
import {
  type ComparisonChoice,
  type SeasonComparisons,
  seasonComparisons,
} from '../../core/analysis/season-comparisons.ts';
import { type Result, success } from '../../core/errors.ts';
import type { SeasonRun } from './run-season.ts';
import { treatmentPaths } from './season-files.ts';
import { readInside } from './season-folder.ts';
import { decodeTextFile } from './text-decoding.ts';

/** `more` are texts of files that are not in the folder, by the path that the sheet names; they go before those that are. */
export async function comparisonsOf(
  folder: string,
  { season, result }: Pick<SeasonRun, 'season' | 'result'>,
  choice: ComparisonChoice = {},
  more: ReadonlyMap<string, Result<string>> = new Map(),
): Promise<SeasonComparisons> {
  const texts = new Map(more);
  for (const path of treatmentPaths(season))
    if (!texts.has(path)) texts.set(path, await treatmentText(folder, path));
  return seasonComparisons(season, result, texts, choice);
}

/** Strips of a season's field take some kilobytes; a choice of ours. */
const MOST_TREATMENT_BYTES = 64 << 20;

/** Text of a file of treatments inside a season folder. */
export async function treatmentText(folder: string, path: string): Promise<Result<string>> {
  const bytes = await readInside(folder, path, MOST_TREATMENT_BYTES);
  if (!bytes.ok) return bytes;
  const decoded = decodeTextFile(bytes.value, path);
  return decoded.ok ? success(decoded.value.text) : decoded;
}
