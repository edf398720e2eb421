/** An empty season where none was: what an import fills. */
import { writeFile } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import type { Result } from '../../core/errors.ts';
import type { Season } from '../../core/season.ts';
import { encodeSeason, SEASON_FILE, SEASON_FORMAT } from '../../core/season-file.ts';
import { newFolder } from './new-folder.ts';

/** Named after its folder; machines, fields and units come with the first files. */
export function newSheet(folderName: string): Season {
  const words = folderName
    .split(/[-_\s]+/)
    .filter((word) => word !== '')
    .map((word) => word.slice(0, 1).toUpperCase() + word.slice(1));
  return { format: SEASON_FORMAT, name: words.join(' ') || 'Season', machines: [], fields: [], logs: [] };
}

/** Makes the folder with its sheet, whole or not at all; its parents too. */
export function makeSeasonFolder(path: string): Promise<Result<string>> {
  const folder = resolve(path);
  return newFolder(dirname(folder), basename(folder), (part) =>
    writeFile(join(part, SEASON_FILE), encodeSeason(newSheet(basename(folder)))),
  );
}
