/**
 * Writing that a crash or a power cut cannot halve: a part file in the same folder, flushed, renamed into place, the
 * folder flushed. Part files are plain to see and to tell from data: `season.json.1234.0a1b2c3d.part`.
 */
import { randomBytes } from 'node:crypto';
import { basename, dirname, join } from 'node:path';
import { codeOf, type FileLayer } from './file-layer.ts';
import { isAlive } from './process-life.ts';

/** Name, process, eight hex digits. */
const PART_NAME = /^.+\.(\d+)\.[0-9a-f]{8}\.part$/;

/** A new name for a part of `path`, in the same folder. */
export function partPathOf(path: string): string {
  return join(dirname(path), `${basename(path)}.${process.pid}.${randomBytes(4).toString('hex')}.part`);
}

/** Whether a file is a part of one that was never finished, or is being written now: no data in any case. */
export function isPartName(name: string): boolean {
  return PART_NAME.test(name);
}

/**
 * Writes `bytes` to `path`, whole or not at all; when it returns, they are on the disk. With `previous`, what `path`
 * held before is kept under that name, whole too. Throws with Node's code when the disk refuses; then `path` is as it
 * was, and no part stays.
 */
export async function writeDurably(
  path: string,
  bytes: Uint8Array,
  layer: FileLayer,
  previous?: string,
): Promise<void> {
  const part = partPathOf(path);
  try {
    const file = await layer.openForWriting(part);
    try {
      await file.write(bytes);
      await file.sync();
    } finally {
      await file.close();
    }
    if (previous !== undefined) await keepPrevious(path, previous, layer);
    await layer.rename(part, path);
  } catch (caught) {
    await layer.remove(part).catch(() => undefined);
    throw caught;
  }
  await layer.syncFolder(dirname(path));
}

/** `path` gets a second name, `previous`, in one step; on disks without second names it is copied first. */
async function keepPrevious(path: string, previous: string, layer: FileLayer): Promise<void> {
  const part = partPathOf(previous);
  try {
    try {
      await layer.link(path, part);
    } catch (caught) {
      if (codeOf(caught) === 'ENOENT') return;
      await layer.copy(path, part);
    }
    await layer.rename(part, previous);
  } catch (caught) {
    await layer.remove(part).catch(() => undefined);
    throw caught;
  }
  // Renaming a second name of a file over another one of the same file does nothing at all [rename(2)].
  await layer.remove(part);
}

/** Moves `part` to `path` without ever replacing a file that is there: `EEXIST` then. */
export async function renameToNew(part: string, path: string, layer: FileLayer): Promise<void> {
  try {
    await layer.link(part, path);
  } catch (caught) {
    if (codeOf(caught) === 'EEXIST') throw caught;
    // No second names on this disk: the look and the rename are two steps, which the season's lock makes one.
    const names = await layer.namesIn(dirname(path));
    if (names.some((name) => name.toLowerCase() === basename(path).toLowerCase()))
      throw Object.assign(new Error('a file of that name is there'), { code: 'EEXIST' });
    await layer.rename(part, path);
    return;
  }
  await layer.remove(part);
}

/**
 * Removes the parts that a killed process has left in `folder`, and returns their names; parts of another process
 * that lives are left alone. Nothing where the folder is not there.
 */
export async function removeLeftParts(folder: string, layer: FileLayer): Promise<string[]> {
  const names = await layer.namesIn(folder).catch(() => []);
  const left = names.filter((name) => {
    const owner = PART_NAME.exec(name)?.[1];
    return owner !== undefined && (Number(owner) === process.pid || !isAlive(Number(owner)));
  });
  for (const name of left) await layer.remove(join(folder, name)).catch(() => undefined);
  return left;
}
