/** Files of a season against their records: what changed or went away since it was copied in. */
import { stat } from 'node:fs/promises';
import type { Notice } from '../../core/errors.ts';
import type { FileState } from '../../core/host-contract.ts';
import type { FileRecord, Season } from '../../core/season.ts';
import { hashFile } from './file-hash.ts';
import { inputFiles, treatmentPaths } from './season-files.ts';
import { fileInside } from './season-folder.ts';

/**
 * Size and time of files whose SHA-256 was found to be that of the record: as long as both stay, the file is taken to
 * be the same without reading it. Kept for as long as a season is open.
 */
export type VerifiedFiles = Map<
  string,
  { readonly sha256: string; readonly size: number; readonly mtime_ms: number }
>;

/**
 * The state of every file that the season lists or has a record of, and of others that lie in its folders, by path.
 * `quick` reads a file only when its size is right and its time is new; `full` reads every file.
 */
export async function checkFiles(
  folder: string,
  season: Season,
  depth: 'quick' | 'full',
  verified: VerifiedFiles,
): Promise<FileState[]> {
  const listed = listedFiles(season);
  const records = new Map((season.files ?? []).map((record) => [record.path, record]));
  const inputs = await inputFiles(folder, season);
  const paths = new Set([...listed.keys(), ...records.keys(), ...inputs.map(({ path }) => path)]);
  const states: FileState[] = [];
  for (const path of [...paths].sort()) {
    const listed_as = listed.get(path) ?? null;
    states.push({ path, listed_as, ...(await stateOf(folder, path, records.get(path), depth, verified)) });
  }
  return states;
}

/** After a build: files whose content is not what was copied in, from the hashes that the build has read. */
export function changedFileNotices(season: Season, hashes: ReadonlyMap<string, string>): Notice[] {
  return (season.files ?? []).flatMap(({ path, sha256 }): Notice[] => {
    const found = hashes.get(path);
    if (found === undefined || found === sha256) return [];
    return [{ code: 'changed_file', severity: 'mend', source: path, count: 1, text: changedText(path) }];
  });
}

type Finding = Pick<FileState, 'state' | 'checked_by' | 'text'>;

async function stateOf(
  folder: string,
  path: string,
  record: FileRecord | undefined,
  depth: 'quick' | 'full',
  verified: VerifiedFiles,
): Promise<Finding> {
  const real = await fileInside(folder, path);
  if (!real.ok) return { state: 'missing', checked_by: 'presence', text: real.error.text };
  if (record === undefined) return { state: 'unrecorded', checked_by: 'presence', text: null };
  const found = await stat(real.value);
  if (found.size !== record.bytes) return { state: 'changed', checked_by: 'size', text: changedText(path) };
  const earlier = verified.get(path);
  const isAsVerified =
    earlier?.sha256 === record.sha256 && earlier.size === found.size && earlier.mtime_ms === found.mtimeMs;
  if (depth === 'quick' && isAsVerified) return { state: 'same', checked_by: 'size_and_time', text: null };
  const { sha256 } = await hashFile(real.value);
  if (sha256 !== record.sha256) return { state: 'changed', checked_by: 'sha256', text: changedText(path) };
  verified.set(path, { sha256, size: found.size, mtime_ms: found.mtimeMs });
  return { state: 'same', checked_by: 'sha256', text: null };
}

function changedText(path: string): string {
  return `${path} is not what was imported: its content has changed since. Results are made from what is there now; put the original back, or take it off the list and import it again.`;
}

function listedFiles(season: Season): Map<string, NonNullable<FileState['listed_as']>> {
  const listed = new Map<string, NonNullable<FileState['listed_as']>>();
  for (const { files } of season.logs) for (const path of files) listed.set(path, 'log');
  for (const path of season.tickets ?? []) listed.set(path, 'tickets');
  for (const { boundary } of season.fields) if (boundary !== undefined) listed.set(boundary, 'boundary');
  for (const path of treatmentPaths(season)) listed.set(path, 'treatments');
  return listed;
}
