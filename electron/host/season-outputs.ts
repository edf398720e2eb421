/** Writes what is made of a season's result: files of all fields together, and those of each where they are wanted. */
import { type Result, success } from '../../core/errors.ts';
import { type WritingOptions, type WrittenFile, writeFiles } from './atomic-write.ts';
import { writeFieldFiles } from './field-files.ts';
import { outputFiles } from './output-files.ts';
import type { SeasonRun } from './run-season.ts';

export interface OutputChoice {
  readonly points: 'kept' | 'all';
  /** Also a folder for each field. */
  readonly eachField: boolean;
}

/** The files of all fields come whole or not at all, and so do those of each. */
export async function writeOutputs(
  out: string,
  run: SeasonRun,
  { points, eachField }: OutputChoice,
  options: WritingOptions,
): Promise<Result<WrittenFile[]>> {
  const together = await writeFiles(out, outputFiles(run, points), options);
  if (!together.ok || !eachField) return together;
  const apart = await writeFieldFiles(out, run, { points }, options);
  return apart.ok ? success([...together.value, ...apart.value]) : apart;
}
