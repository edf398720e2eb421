/** The entries of a zip that claims to hold a season: which may be unpacked, and whether any of it is a trap. */
import { failure, type Notice, type Result, success } from '../../core/errors.ts';
import { SEASON_FILE } from '../../core/season-file.ts';
import { plainFileName } from './file-name.ts';
import { INPUT_FOLDERS } from './season-files.ts';
import { MOST_SHEET_BYTES } from './season-folder.ts';
import { GUNZIP_BOUNDS } from './unpacker.ts';

/** What a zip says of one entry. */
export interface ZipEntry {
  readonly fileName: string;
  readonly compressedSize: number;
  readonly uncompressedSize: number;
  readonly externalFileAttributes: number;
  readonly isEncrypted: () => boolean;
}

/** An entry to unpack, and where in the season folder. */
export interface WantedEntry<T extends ZipEntry> {
  readonly path: string;
  readonly entry: T;
}

export interface SeasonEntries<T extends ZipEntry> {
  /** The folder that the season lies in within the zip; empty at the top. */
  readonly top: string;
  readonly sheet: T;
  /** All but the sheet. */
  readonly files: readonly WantedEntry<T>[];
}

/** How far a zip may grow: as tick logs shrink 4 to 12 times, so much is a file made to fill the disk. */
export interface UnpackBounds {
  readonly most_times: number;
  readonly free_bytes: number;
  readonly most_files: number;
}

export const UNPACK_BOUNDS: UnpackBounds = {
  most_times: GUNZIP_BOUNDS.most_times,
  free_bytes: GUNZIP_BOUNDS.free_bytes,
  most_files: 20_000,
};

/** File type in the upper half of the attributes that Unix zips carry [stat(2)]. */
const TYPE_MASK = 0o170000;
const LINK = 0o120000;

/** Whether the entries fit in the bounds; `zipBytes` is the size of the zip itself. */
export function sizeFault(
  entries: readonly ZipEntry[],
  zipBytes: number,
  bounds: UnpackBounds,
): Result<undefined> {
  if (entries.length > bounds.most_files)
    return refused('too_many_files', `holds ${entries.length} files, far more than a season has`);
  // Several entries can share one packed piece, so that the whole zip is the measure.
  const total = entries.reduce((sum, entry) => sum + entry.uncompressedSize, 0);
  if (total > Math.max(bounds.free_bytes, zipBytes * bounds.most_times)) {
    const mega = Math.round(total / 2 ** 20);
    return refused('zip_bomb', `would unpack to ${mega} MB, far more than a season of its size can`);
  }
  return success(undefined);
}

/**
 * What to unpack: the one season in the zip, and of it only the sheet, the folders for inputs, and what `lists` says
 * that the sheet lists. Refused when a path leads out of the folder, when an entry is a link or encrypted, and when two
 * would be one file. Other files are left out and named.
 */
export function seasonEntries<T extends ZipEntry>(entries: readonly T[]): Result<SeasonEntries<T>> {
  for (const entry of entries) {
    const fault = nameFault(entry.fileName);
    if (fault !== undefined)
      return refused('outside_folder', `has an entry ${JSON.stringify(entry.fileName)} ${fault}`);
    if (((entry.externalFileAttributes >>> 16) & TYPE_MASK) === LINK)
      return refused('link_in_zip', `has a link in it (${entry.fileName}), which a season never has`);
  }
  const sheets = entries
    .filter(({ fileName }) => fileName === SEASON_FILE || fileName.endsWith(`/${SEASON_FILE}`))
    .filter(({ fileName }) => !isJunk(fileName))
    .sort((a, b) => depthOf(a.fileName) - depthOf(b.fileName));
  const sheet = sheets[0];
  if (sheet === undefined) return refused('no_season_sheet', `holds no ${SEASON_FILE}, so it is no season`);
  if (sheets.length > 1 && depthOf(sheets[1].fileName) === depthOf(sheet.fileName))
    return refused('several_seasons', 'holds several seasons; unpack it, and open the one that you want');
  if (sheet.uncompressedSize > MOST_SHEET_BYTES)
    return refused('sheet_too_large', `has a ${SEASON_FILE} that is far too large`);
  const top = sheet.fileName.slice(0, -SEASON_FILE.length);
  const files = entries
    .filter(({ fileName }) => fileName.startsWith(top) && !fileName.endsWith('/'))
    .map((entry) => ({ path: entry.fileName.slice(top.length), entry }))
    .filter(({ path }) => path !== SEASON_FILE && path !== '');
  const double = firstDouble([SEASON_FILE, ...files.map(({ path }) => path)]);
  if (double !== undefined) return refused('repeated_file', `has ${double} twice`);
  const locked = [sheet, ...files.map(({ entry }) => entry)].find((entry) => entry.isEncrypted());
  if (locked !== undefined)
    return refused('encrypted', 'is locked with a password; unpack it with the program that made it');
  return success({ top: top.replace(/\/$/, ''), sheet, files });
}

/** Of the season's entries those that belong to a season, and a notice about those that do not. */
export function wantedEntries<T extends ZipEntry>(
  { files }: SeasonEntries<T>,
  listed: readonly string[],
): { wanted: WantedEntry<T>[]; notices: Notice[] } {
  const isListed = new Set(listed);
  const wanted = files.filter(
    ({ path }) => isListed.has(path) || INPUT_FOLDERS.some((inner) => path.startsWith(`${inner}/`)),
  );
  const isWanted = new Set(wanted.map(({ path }) => path));
  const foreign = files
    .map(({ path }) => path)
    .filter((path) => !isWanted.has(path) && !isJunk(path) && !/^(cache|out)\//.test(path))
    .filter((path) => !path.startsWith(`${SEASON_FILE}.`));
  if (foreign.length === 0) return { wanted, notices: [] };
  const text =
    foreign.length === 1
      ? `${foreign[0]} in the zip is no part of a season; it was left out.`
      : `${foreign[0]} and ${foreign.length - 1} more in the zip are no part of a season; they were left out.`;
  const notice: Notice = {
    code: 'left_out',
    severity: 'info',
    source: foreign[0],
    count: foreign.length,
    text,
  };
  return { wanted, notices: [notice] };
}

/** What is wrong with a path in a zip; `undefined` when it stays where it is put. */
function nameFault(name: string): string | undefined {
  if (name.startsWith('/') || /^[A-Za-z]:/.test(name)) return 'with a path from the root of the disk';
  const steps = name.split('/');
  if (name.includes('\\') || steps.includes('..')) return 'that leads out of its folder';
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
  if (/[\u0000-\u001f\u007f]/.test(name)) return 'with control characters in its name';
  const inner = steps.filter((step) => step !== '');
  if (process.platform === 'win32' && inner.some((step) => plainFileName(step, '') !== step))
    return 'that Windows cannot hold';
  return undefined;
}

/** What systems leave in zips without being asked. */
function isJunk(path: string): boolean {
  return /(^|\/)(__MACOSX\/|\.DS_Store$|Thumbs\.db$|desktop\.ini$)/i.test(path);
}

function depthOf(path: string): number {
  return path.split('/').length;
}

/** Names that differ only in case or in how accents are written are one file on many disks. */
function firstDouble(paths: readonly string[]): string | undefined {
  const seen = new Set<string>();
  for (const path of paths) {
    const same = path.normalize('NFC').toLowerCase();
    if (seen.has(same)) return path;
    seen.add(same);
  }
  return undefined;
}

function refused(code: string, what: string): Result<never> {
  return failure({ code, source: 'zip', text: `The zip ${what}; nothing was unpacked.` });
}
