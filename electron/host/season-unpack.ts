/** A packed season back into a folder of the library; only when all of it is whole does the folder appear. */
import { createHash } from 'node:crypto';
import { mkdir, stat } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { crc32 } from 'node:zlib';
import { type Entry, openPromise, type ZipFile } from 'yauzl';
import { failure, type Result, success } from '../../core/errors.ts';
import type { Season } from '../../core/season.ts';
import { decodeSeason, SEASON_FILE } from '../../core/season-file.ts';
import { codeOf, diskLayer } from './file-layer.ts';
import { folderNameFrom, plainFileName } from './file-name.ts';
import { changedFileNotices } from './file-records.ts';
import { newFolder, Refusal } from './new-folder.ts';
import { INPUT_FOLDERS, listedPaths } from './season-files.ts';
import { decodeText } from './text-decoding.ts';
import {
  seasonEntries,
  sizeFault,
  UNPACK_BOUNDS,
  type UnpackBounds,
  type WantedEntry,
  wantedEntries,
} from './zip-entries.ts';

/**
 * Unpacks the season in the zip at `path` into a new folder of `home`, named as in the zip, and returns that folder.
 * Every entry is held to its size and check sum, and to the SHA-256 that the sheet has of it.
 */
export async function unpackSeason(
  path: string,
  home: string,
  bounds: UnpackBounds = UNPACK_BOUNDS,
): Promise<Result<string>> {
  let zip: ZipFile | undefined;
  try {
    const { size } = await stat(path);
    zip = await openPromise(path, { lazyEntries: true, autoClose: false, strictFileNames: true });
    const entries = await allEntries(zip, bounds);
    const fitting = sizeFault(entries, size, bounds);
    if (!fitting.ok) return fitting;
    return await unpacked(zip, entries, home);
  } catch (caught) {
    if (caught instanceof Refusal) return failure(caught.error);
    return failure(zipFault(caught, path));
  } finally {
    zip?.close();
  }
}

/** One more than the bound is enough to be refused. */
async function allEntries(zip: ZipFile, bounds: UnpackBounds): Promise<Entry[]> {
  const entries: Entry[] = [];
  for await (const entry of zip.eachEntry()) {
    entries.push(entry);
    if (entries.length > bounds.most_files) break;
  }
  return entries;
}

async function unpacked(zip: ZipFile, entries: readonly Entry[], home: string): Promise<Result<string>> {
  const found = seasonEntries(entries);
  if (!found.ok) return found;
  const sheet = await sheetOf(zip, found.value.sheet);
  if (!sheet.ok) return sheet;
  const { wanted, notices } = wantedEntries(found.value, listedPaths(sheet.value.season));
  const name = plainFileName(found.value.top, folderNameFrom(sheet.value.season.name));
  const hashes = new Map<string, string>();
  const made = await newFolder(home, name, async (folder) => {
    for (const inner of INPUT_FOLDERS) await mkdir(join(folder, inner));
    for (const { path, entry } of wanted) hashes.set(path, await unpackEntry(zip, { path, entry }, folder));
    await unpackEntry(zip, { path: SEASON_FILE, entry: found.value.sheet }, folder);
  });
  if (!made.ok) return made;
  return success(made.value, [...notices, ...changedFileNotices(sheet.value.season, hashes)]);
}

async function sheetOf(zip: ZipFile, entry: Entry): Promise<Result<{ readonly season: Season }>> {
  const pieces: Buffer[] = [];
  for await (const piece of await checkedPieces(zip, entry)) pieces.push(piece);
  const decoded = decodeSeason(decodeText(Buffer.concat(pieces)).text);
  if (!decoded.ok) {
    const text = `The zip holds a season that cannot be read; nothing was unpacked. ${decoded.error.text}`;
    return failure({ ...decoded.error, text }, decoded.notices);
  }
  return success({ season: decoded.value });
}

/** Writes one entry, flushed; returns its SHA-256. */
async function unpackEntry(
  zip: ZipFile,
  { path, entry }: WantedEntry<Entry>,
  folder: string,
): Promise<string> {
  const target = join(folder, path);
  await diskLayer.makeFolder(dirname(target));
  const file = await diskLayer.openForWriting(target);
  const hash = createHash('sha256');
  try {
    for await (const piece of await checkedPieces(zip, entry)) {
      hash.update(piece);
      await file.write(piece);
    }
    await file.sync();
  } finally {
    await file.close();
  }
  return hash.digest('hex');
}

/** The entry's bytes; ends with a refusal when size or check sum are not what the zip says. */
async function checkedPieces(zip: ZipFile, entry: Entry): Promise<AsyncIterable<Buffer>> {
  const stream = await zip.openReadStreamPromise(entry).catch((caught: unknown) => {
    throw damaged(entry, caught);
  });
  return (async function* () {
    let sum = 0;
    try {
      for await (const piece of stream as AsyncIterable<Buffer>) {
        sum = crc32(piece, sum);
        yield piece;
      }
    } catch (caught) {
      throw isWriteFault(caught) ? caught : damaged(entry, caught);
    }
    if (sum !== entry.crc32) throw damaged(entry, undefined);
  })();
}

/** Errors of the zip carry no code of the system, or one of the unpacker (`Z_…`). */
function isWriteFault(caught: unknown): boolean {
  return /^E[A-Z]+$/.test(codeOf(caught));
}

function damaged(entry: Entry, caught: unknown): Refusal {
  const why =
    caught instanceof Error && /compression method/.test(caught.message)
      ? 'is packed in a way that this program cannot unpack'
      : 'is damaged';
  const text = `${entry.fileName} in the zip ${why}; nothing was unpacked. Have it sent again.`;
  return new Refusal({ code: 'damaged_zip', source: entry.fileName, text });
}

/** Why the zip as a whole cannot be read. */
function zipFault(caught: unknown, path: string): { code: string; source: string; text: string } {
  const name = basename(path);
  const code = codeOf(caught);
  if (code === 'ENOENT') return { code: 'no_such_file', source: path, text: `There is no file ${path}.` };
  if (code === 'EISDIR')
    return { code: 'is_a_folder', source: path, text: `${name} is a folder; open it as a season instead.` };
  if (isWriteFault(caught))
    return {
      code: 'cannot_read',
      source: path,
      text: `${name} cannot be read: the system answered ${code}.`,
    };
  const message = caught instanceof Error ? caught.message : String(caught);
  if (/relative path|absolute path|invalid characters in fileName/.test(message)) {
    const text = `The zip has an entry that leads out of its folder; nothing was unpacked.`;
    return { code: 'outside_folder', source: path, text };
  }
  const text = `${name} is no zip, or its end is missing; nothing was unpacked. Have it sent again.`;
  return { code: 'damaged_zip', source: path, text };
}
