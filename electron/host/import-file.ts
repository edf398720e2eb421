/**
 * Copying a file into the season, so that what lies there is what was given: copied to a part, flushed, read back and
 * compared by SHA-256, and only then given its name. The original is never touched.
 */
import { stat } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { type DataError, failure, type Result, success } from '../../core/errors.ts';
import type { FileRecord, Season } from '../../core/season.ts';
import { diskFault } from './disk-faults.ts';
import { partPathOf, renameToNew } from './durable-write.ts';
import { type FileHash, hashFile } from './file-hash.ts';
import { codeOf, diskLayer, type FileLayer } from './file-layer.ts';
import { numberedName, plainFileName } from './file-name.ts';

/** The folders of a season that hold what was copied in. */
export type ImportFolder = 'logs' | 'tickets' | 'boundaries';

export interface ImportOptions {
  readonly into: ImportFolder;
  /** The season that it goes to: its records tell what is there already. */
  readonly season: Season;
  /** What the file is called where it came from; the last step of `source` when absent. */
  readonly source_name?: string;
  readonly layer?: FileLayer;
  readonly now?: () => Date;
  /** Asked between pieces; true ends the copying, and nothing stays. */
  readonly shouldStop?: () => boolean;
}

export interface FileCopy {
  /** For the edit `record_files`. */
  readonly record: FileRecord;
  /** The file of the season that has the same content: nothing was copied then. */
  readonly same_as: FileRecord | undefined;
}

/** Numbers that are tried to find a free name. */
const MOST_NAMES = 10_000;

/**
 * Copies `source` into the folder of the season in `seasonFolder`, under its own name or, when another file has that,
 * with a number. A file whose content is recorded already is not copied again. A file of the same content that lies
 * there without a record (the program was killed before it could write one) is taken as the copy.
 */
export async function importFile(
  seasonFolder: string,
  source: string,
  options: ImportOptions,
): Promise<Result<FileCopy>> {
  const layer = options.layer ?? diskLayer;
  const sourceName = plainFileName(options.source_name ?? basename(source), 'file');
  const folder = join(seasonFolder, options.into);
  const part = partPathOf(join(folder, sourceName));
  try {
    await layer.makeFolder(folder);
    const copied = await copiedPart(source, part, options, layer);
    if (!copied.ok) return copied;
    const record = (name: string): FileRecord => ({
      path: `${options.into}/${name}`,
      sha256: copied.value.sha256,
      bytes: copied.value.bytes,
      imported_utc: (options.now?.() ?? new Date()).toISOString(),
      source_name: sourceName,
    });
    const same = options.season.files?.find(({ sha256 }) => sha256 === copied.value.sha256);
    if (same !== undefined && (await holds(join(seasonFolder, same.path), copied.value)))
      return success({ record: same, same_as: same });
    const name = await namedPart(part, folder, sourceName, copied.value, layer);
    await layer.syncFolder(folder);
    return success({ record: record(name), same_as: undefined });
  } catch (caught) {
    return failure(diskFault(caught, `copy ${sourceName} into the season`, sourceName));
  } finally {
    await layer.remove(part).catch(() => undefined);
  }
}

/** Source → part, flushed and verified; what its content is. */
async function copiedPart(
  source: string,
  part: string,
  options: ImportOptions,
  layer: FileLayer,
): Promise<Result<FileHash>> {
  const before = await sourceState(source);
  if (!before.ok) return before;
  const file = await layer.openForWriting(part);
  let copied: FileHash;
  try {
    copied = await hashFile(source, async (piece) => {
      if (options.shouldStop?.()) throw Object.assign(new Error('stopped'), { code: 'STOPPED' });
      await onto(part, () => file.write(piece));
    });
    await onto(part, () => file.sync());
  } catch (caught) {
    if (codeOf(caught) === 'STOPPED') return failure(stopped(source));
    if (caught instanceof PartFault) throw caught.cause;
    return failure(unreadable(source, caught));
  } finally {
    await file.close();
  }
  const after = await sourceState(source);
  if (!after.ok) return after;
  if (after.value.mtimeMs !== before.value.mtimeMs || after.value.size !== copied.bytes)
    return failure(changedMeanwhile(source));
  const back = await hashFile(part);
  if (back.sha256 !== copied.sha256) return failure(copiedWrong(source));
  return success(copied);
}

/** A fault of the disk that is written to, told apart from one of the disk that is read. */
class PartFault extends Error {
  override readonly cause: unknown;
  constructor(part: string, cause: unknown) {
    super(part);
    this.cause = cause;
  }
}

async function onto(part: string, work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch (caught) {
    throw new PartFault(part, caught);
  }
}

async function sourceState(
  source: string,
): Promise<Result<{ readonly size: number; readonly mtimeMs: number }>> {
  try {
    const found = await stat(source);
    if (found.isFile()) return success(found);
    const text = `${basename(source)} is not a file; give the files in it.`;
    return failure({ code: 'not_a_file', source, text });
  } catch (caught) {
    return failure(unreadable(source, caught));
  }
}

/** Gives the part a free name, or finds the same content under one. */
async function namedPart(
  part: string,
  folder: string,
  sourceName: string,
  content: FileHash,
  layer: FileLayer,
): Promise<string> {
  const taken = new Set((await layer.namesIn(folder)).map((name) => name.toLowerCase()));
  for (let number = 1; number <= MOST_NAMES; number++) {
    const name = number === 1 ? sourceName : numberedName(sourceName, number);
    if (taken.has(name.toLowerCase())) {
      if (await holds(join(folder, name), content)) return name;
      continue;
    }
    try {
      await renameToNew(part, join(folder, name), layer);
      return name;
    } catch (caught) {
      if (codeOf(caught) !== 'EEXIST') throw caught;
    }
  }
  throw new RangeError(`${MOST_NAMES} files are named like ${sourceName}`);
}

/** Whether `path` is there and has that content. */
async function holds(path: string, content: FileHash): Promise<boolean> {
  const found = await stat(path).catch(() => undefined);
  if (!found?.isFile() || found.size !== content.bytes) return false;
  return (await hashFile(path)).sha256 === content.sha256;
}

const READ_CAUSES: Readonly<Record<string, string>> = {
  ENOENT: 'it is not there; is the stick still connected?',
  EACCES: 'you may not read it; change its permissions.',
  EPERM: 'you may not read it; change its permissions.',
  EIO: 'the disk or stick has a read error; copy it again from where it came.',
  ENODEV: 'the stick was taken out; connect it again.',
};

function unreadable(source: string, caught: unknown): DataError {
  const code = codeOf(caught);
  if (code === '') throw caught;
  const cause = READ_CAUSES[code] ?? `the system answered ${code}.`;
  return { code: 'cannot_read', source, text: `${basename(source)} cannot be read: ${cause}` };
}

function changedMeanwhile(source: string): DataError {
  const text = `${basename(source)} changed while it was copied; wait until nothing writes it any more, and import it again.`;
  return { code: 'changed_while_copied', source, text };
}

function copiedWrong(source: string): DataError {
  const text = `The copy of ${basename(source)} is not the same as the original, so it was thrown away; the disk of the season may be failing. Import it again, or move the season to another disk.`;
  return { code: 'copy_differs', source, text };
}

function stopped(source: string): DataError {
  return {
    code: 'cancelled',
    source,
    text: `Stopped before ${basename(source)} was copied; it was not imported.`,
  };
}
