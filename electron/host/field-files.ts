/** A folder of its own for every field: its points for any GIS, and its figures. */
import { join } from 'node:path';
import { failure, type Result, success } from '../../core/errors.ts';
import type { ExportChoice } from '../../core/export/export-choice.ts';
import { geojsonPieces } from '../../core/export/geojson.ts';
import { summaryText } from '../../core/export/summary-json.ts';
import type { SeasonResult, Summary } from '../../core/result.ts';
import { type FileToWrite, type WritingOptions, type WrittenFile, writeFiles } from './atomic-write.ts';
import { folderNameFrom } from './file-name.ts';
import type { SeasonRun } from './run-season.ts';

/** Inside the folder of the outputs; beside the files that hold all fields. */
export const FIELDS_FOLDER = 'fields';

/**
 * Writes `fields/<name>/<name>-points.geojson` and `<name>-summary.json` into `out`, for every field or the one that is
 * chosen. Each field's files come whole or not at all; the first failure ends it.
 */
export async function writeFieldFiles(
  out: string,
  run: SeasonRun,
  { points, field }: ExportChoice,
  options: WritingOptions = {},
): Promise<Result<WrittenFile[]>> {
  const names = fieldFolders(run.result.points.map((one) => one.field));
  const written: WrittenFile[] = [];
  for (const [place, name] of names.entries()) {
    if (field !== undefined && run.result.points[place].field !== field) continue;
    const files = filesOf(run, place, name, points);
    const of = await writeFiles(join(out, FIELDS_FOLDER, name), files, options);
    if (!of.ok) return of;
    written.push(...of.value);
  }
  if (written.length > 0) return success(written);
  const text = `The result has no field "${field ?? ''}"; build the season again.`;
  return failure({ code: 'no_such_field', source: 'season.json', text });
}

/** A folder name for every field, none twice on any system: `North 40` → `north-40`, then `north-40-2`. */
export function fieldFolders(fields: readonly string[]): string[] {
  const taken = new Set<string>();
  return fields.map((field) => {
    const plain = folderNameFrom(field, 'field');
    let name = plain;
    for (let number = 2; taken.has(name); number++) name = `${plain}-${number}`;
    taken.add(name);
    return name;
  });
}

function filesOf(
  { season, result }: SeasonRun,
  place: number,
  name: string,
  points: ExportChoice['points'],
): FileToWrite[] {
  const alone: SeasonResult = { ...result, points: [result.points[place]] };
  return [
    { name: `${name}-points.geojson`, pieces: geojsonPieces(season, alone, { points }) },
    { name: `${name}-summary.json`, pieces: [summaryText(summaryOf(result, place))] },
  ];
}

/** Of the summary what is the field's; inputs and the calibrations of its crop are part of its account. */
function summaryOf({ summary, points }: SeasonResult, place: number): Summary {
  const { field, crop } = points[place];
  return {
    ...summary,
    fields: summary.fields.filter(({ name }) => name === field),
    lags: summary.lags.filter((lag) => lag.field === field),
    calibrations: summary.calibrations.filter((fit) => fit.crop === crop),
    mass_ledger: summary.mass_ledger.filter((row) => row.field === field),
  };
}
