/** A season folder on disk: finding it, reading its sheet, and paths that cannot leave it. */
import { lstat, readdir, readFile, realpath, stat } from 'node:fs/promises';
import { basename, dirname, isAbsolute, join, relative, resolve, sep } from 'node:path';
import type { DataError } from '../../core/errors.ts';
import { failure, type Result, success } from '../../core/errors.ts';
import { nearestWord } from '../../core/nearest-word.ts';
import type { Season } from '../../core/season.ts';
import { decodeSeason, SEASON_FILE } from '../../core/season-file.ts';
import { codeOf } from './file-layer.ts';
import { decodeTextFile } from './text-decoding.ts';

export interface OpenSeason {
  /** Absolute path of the folder, symbolic links resolved. */
  readonly folder: string;
  readonly season: Season;
}

/** Opens the season in `path` (the folder, or its `season.json`). */
export async function openSeasonFolder(path: string): Promise<Result<OpenSeason>> {
  const given = basename(path) === SEASON_FILE ? dirname(path) : path;
  const found = await stat(given).catch(() => undefined);
  if (!found) return failure(await noFolder(given));
  if (!found.isDirectory()) {
    const text = `${given} is a file; give the season folder, which holds ${SEASON_FILE}.`;
    return failure({ code: 'not_a_folder', source: given, text });
  }
  const folder = await realpath(given);
  const bytes = await readInside(folder, SEASON_FILE, MOST_SHEET_BYTES);
  if (!bytes.ok) {
    const isAbsent = bytes.error.code === 'no_such_file' || bytes.error.code === 'is_a_folder';
    return isAbsent ? failure(await noSheet(given)) : bytes;
  }
  const text = decodeTextFile(bytes.value, SEASON_FILE);
  if (!text.ok) return text;
  const decoded = decodeSeason(text.value.text);
  return decoded.ok ? success({ folder, season: decoded.value }, decoded.notices) : decoded;
}

/**
 * The absolute path of the file that the sheet calls `listed`. Fails when it leaves the folder, be it by `..`, an
 * absolute path or a symbolic link, when it is not there (naming what is near), or when it is a folder.
 * `folder` must be a real path.
 */
export async function fileInside(folder: string, listed: string): Promise<Result<string>> {
  const spelled = resolve(folder, listed);
  if (isAbsolute(listed) || !isInside(folder, spelled))
    return failure(leaves(listed, 'the path leads out of it'));
  const path = await asOnDisk(spelled);
  try {
    const real = await realpath(path);
    if (!isInside(folder, real)) return failure(leaves(listed, 'it is a link to somewhere outside'));
    const found = await stat(real);
    if (found.isDirectory()) {
      const text = `${listed} is a folder; list the files in it.`;
      return failure({ code: 'is_a_folder', source: listed, text });
    }
    if (!found.isFile()) {
      const text = `${listed} is a pipe or a device, not a file; it would be waited for without end.`;
      return failure({ code: 'not_a_file', source: listed, text });
    }
    return success(real);
  } catch (caught) {
    return failure(await unreachable(folder, path, listed, caught));
  }
}

/** The sheet of a season with thousands of fields and edits has a few; a choice of ours. */
export const MOST_SHEET_BYTES = 16 << 20;

/** The bytes of a file that the sheet lists (or of the sheet), at most `most_bytes`; fails with a sentence that says how to mend it. */
export async function readInside(
  folder: string,
  listed: string,
  most_bytes: number,
): Promise<Result<Uint8Array>> {
  const read = await withFileInside<Uint8Array | undefined>(folder, listed, async (path) =>
    (await stat(path)).size > most_bytes ? undefined : readFile(path),
  );
  if (!read.ok || read.value !== undefined) return read as Result<Uint8Array>;
  const text = `${listed} is larger than ${Math.round(most_bytes / 2 ** 20)} MB, far more than it can need; is it the right file?`;
  return failure({ code: 'file_too_large', source: listed, text });
}

/** What `use` makes of the file that the sheet calls `listed`; where the system refuses it, a sentence that says how to mend it. */
export async function withFileInside<Made>(
  folder: string,
  listed: string,
  use: (path: string) => Promise<Made>,
): Promise<Result<Made>> {
  const path = await fileInside(folder, listed);
  if (!path.ok) return path;
  try {
    return success(await use(path.value));
  } catch (caught) {
    const code = codeOf(caught);
    if (code === '') throw caught;
    const causes: Readonly<Record<string, string>> = {
      ERR_FS_FILE_TOO_LARGE:
        'it is larger than 2 GB; split it into several files and list them one after the other',
      EACCES: 'you may not read it; change its permissions',
      EPERM: 'you may not read it; change its permissions',
      EIO: 'the disk or stick has a read error; copy the file again from its source',
    };
    const text = `${listed} cannot be read: ${causes[code] ?? `the system answered ${code}`}.`;
    return failure({ code: 'cannot_read', source: listed, text });
  }
}

/**
 * The path as the disk spells it: some systems write ü as one letter, others as u and two dots, and files wander between
 * them. Unchanged where it is there as spelled, or nowhere.
 */
async function asOnDisk(path: string): Promise<string> {
  const found = await lstat(path).catch(() => undefined);
  const parent = dirname(path);
  if (found !== undefined || parent === path || !/[^\x20-\x7e]/.test(path)) return path;
  const folder = await asOnDisk(parent);
  const name = basename(path).normalize();
  const names = await readdir(folder).catch(() => []);
  return join(folder, names.find((entry) => entry.normalize() === name) ?? basename(path));
}

function isInside(folder: string, path: string): boolean {
  const way = relative(folder, path);
  return way !== '' && way !== '..' && !way.startsWith(`..${sep}`) && !isAbsolute(way);
}

function leaves(listed: string, how: string): DataError {
  const text = `${listed} is not in the season folder: ${how}. Copy the file into the folder and list it there.`;
  return { code: 'outside_folder', source: listed, text };
}

async function unreachable(
  folder: string,
  path: string,
  listed: string,
  caught: unknown,
): Promise<DataError> {
  const code = codeOf(caught);
  if (code === 'ENOENT' || code === 'ENOTDIR') {
    const isDangling = (await lstat(path).catch(() => undefined))?.isSymbolicLink() ?? false;
    const why = isDangling ? 'is a link to a file that is not there' : 'is not in the season folder';
    const text = `${listed} ${why}; ${await nearHint(folder, listed)}`;
    return { code: 'no_such_file', source: listed, text };
  }
  if (code === '') throw caught;
  const cause = code === 'EACCES' || code === 'EPERM' ? 'you may not read it' : `the system answered ${code}`;
  return { code: 'cannot_read', source: listed, text: `${listed} cannot be read: ${cause}.` };
}

/** "did you mean …?" from the files of the folder: the same name elsewhere, else the most alike. */
async function nearHint(folder: string, listed: string): Promise<string> {
  const files = await filesBelow(folder);
  const wanted = listed.split('/').at(-1) ?? listed;
  const elsewhere = files.find((file) => file.split('/').at(-1)?.toLowerCase() === wanted.toLowerCase());
  const near = elsewhere ?? nearestWord(listed, files);
  if (near !== undefined) return `did you mean ${near}?`;
  return 'put it there, or correct the name in season.json.';
}

/** Paths of all files in the folder, relative, with forward slashes, sorted; at most a few thousand are looked at. */
async function filesBelow(folder: string): Promise<string[]> {
  const names = await readdir(folder, { recursive: true, withFileTypes: true }).catch(() => []);
  return names
    .filter((entry) => entry.isFile())
    .slice(0, 5000)
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)).split(sep).join('/'))
    .sort();
}

async function noFolder(given: string): Promise<DataError> {
  const parent = dirname(resolve(given));
  const siblings = await readdir(parent).catch(() => []);
  const near = nearestWord(basename(given), siblings);
  const hint = near === undefined ? 'check the path.' : `did you mean ${join(dirname(given), near)}?`;
  return { code: 'no_such_folder', source: given, text: `there is no folder ${given}; ${hint}` };
}

async function noSheet(given: string): Promise<DataError> {
  const names = await readdir(given).catch(() => []);
  for (const name of names.sort()) {
    const inner = await stat(join(given, name, SEASON_FILE)).catch(() => undefined);
    if (inner?.isFile()) {
      const text = `${given} has no ${SEASON_FILE}, but the folder ${name} in it has; did you mean ${join(given, name)}?`;
      return { code: 'no_season_sheet', source: given, text };
    }
  }
  const near = nearestWord(SEASON_FILE, names);
  const hint =
    near === SEASON_FILE
      ? 'what has that name is a folder.'
      : near === undefined
        ? 'give the folder that holds it, or write one.'
        : `rename ${near} if that is it.`;
  return { code: 'no_season_sheet', source: given, text: `${given} has no ${SEASON_FILE}; ${hint}` };
}
