/** The files that a season is made of, as opposed to what is made from them. */
import { readdir, realpath, stat } from 'node:fs/promises';
import { join } from 'node:path';
import type { Season } from '../../core/season.ts';
import { isPartName } from './durable-write.ts';
import { fileInside } from './season-folder.ts';

/** Folders of a season that hold what was put in; `cache` and `out` are made from them. */
export const INPUT_FOLDERS = ['logs', 'tickets', 'boundaries'] as const;

export interface InputFile {
  /** From the season folder, with forward slashes. */
  readonly path: string;
  /** Absolute, links resolved. */
  readonly real: string;
  readonly bytes: number;
}

/** Paths of all files that the sheet lists. */
export function listedPaths(season: Season): string[] {
  return [
    ...season.logs.flatMap(({ files }) => files),
    ...(season.tickets ?? []),
    ...season.fields.flatMap(({ boundary }) => (boundary === undefined ? [] : [boundary])),
    ...treatmentPaths(season),
  ];
}

/** Files of treatments, each once. */
export function treatmentPaths({ comparisons = [] }: Season): string[] {
  return [...new Set(comparisons.flatMap(({ file }) => (file === undefined ? [] : [file.path])))];
}

/**
 * Every file in the folders for inputs and every other one that the sheet lists, by path. Hidden files, parts, and
 * links that lead out of the season folder are left out. `folder` must be a real path.
 */
export async function inputFiles(folder: string, season: Season): Promise<InputFile[]> {
  const paths = new Set<string>();
  for (const inner of INPUT_FOLDERS) for (const path of await filesBelow(folder, inner)) paths.add(path);
  for (const path of listedPaths(season)) paths.add(normalised(path));
  const found: InputFile[] = [];
  for (const path of [...paths].sort()) {
    const real = await fileInside(folder, path);
    if (real.ok) found.push({ path, real: real.value, bytes: (await stat(real.value)).size });
  }
  return found;
}

/** `./logs//a.log` and `logs/a.log` are one file. */
function normalised(path: string): string {
  return path
    .split('/')
    .filter((step) => step !== '' && step !== '.')
    .join('/');
}

async function filesBelow(folder: string, inner: string): Promise<string[]> {
  const entries = await readdir(join(folder, inner), { withFileTypes: true }).catch(() => []);
  const found: string[] = [];
  for (const entry of entries) {
    if (entry.name.startsWith('.') || isPartName(entry.name)) continue;
    const path = `${inner}/${entry.name}`;
    // Folders behind links are not walked into: they could lead anywhere, and in circles.
    if (entry.isDirectory()) found.push(...(await filesBelow(folder, path)));
    else if (entry.isFile() || (entry.isSymbolicLink() && (await isFileBehind(join(folder, path)))))
      found.push(path);
  }
  return found;
}

async function isFileBehind(link: string): Promise<boolean> {
  const real = await realpath(link).catch(() => undefined);
  return real !== undefined && (await stat(real)).isFile();
}
