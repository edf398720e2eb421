/** A folder that is named on the command line. */
import { basename, dirname } from 'node:path';
import { InvalidArgumentError } from 'commander';
import { SEASON_FILE } from '../../core/season-file.ts';

/** The name as it stands; an empty one would be the folder that the command is called in. */
export function folderName(text: string): string {
  if (text.trim() === '') throw new InvalidArgumentError('Give the name of a folder.');
  return text;
}

/** The folder of a season, of which the sheet in it may be named instead: results go beside the sheet, not into it. */
export function seasonFolder(text: string): string {
  const given = folderName(text);
  return basename(given) === SEASON_FILE ? dirname(given) : given;
}

/** The same for an argument that takes several. */
export function seasonFolders(text: string, before: readonly string[] | undefined): string[] {
  return [...(before ?? []), seasonFolder(text)];
}
