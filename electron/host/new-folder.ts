/** A season's folder that appears whole or not at all, and its name. */
import { mkdir, readdir, realpath, rename, rm, stat } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { type DataError, failure, type Result, success } from '../../core/errors.ts';
import { diskFault } from './disk-faults.ts';
import { isPartName, partPathOf } from './durable-write.ts';
import { diskLayer } from './file-layer.ts';
import { numberedName, plainFileName } from './file-name.ts';
import { isAlive } from './process-life.ts';

/**
 * Makes a folder in `home` in one step: `fill` puts everything into a part folder, which gets its name when it is
 * complete. A name that is taken gets a number.
 */
export async function newFolder(
  home: string,
  wanted: string,
  fill: (folder: string) => Promise<void>,
): Promise<Result<string>> {
  let part: string | undefined;
  try {
    await diskLayer.makeFolder(home);
    await removeLeftFolders(home);
    part = partPathOf(join(home, wanted));
    await mkdir(part);
    await fill(part);
    await diskLayer.syncFolder(part);
    const folder = await namedFolder(part, home, wanted);
    await diskLayer.syncFolder(home);
    return success(await realpath(folder));
  } catch (caught) {
    if (caught instanceof Refusal) return failure(caught.error);
    return failure(diskFault(caught, `make the season ${wanted} in ${home}`, home));
  } finally {
    if (part !== undefined) await rm(part, { recursive: true, force: true }).catch(() => undefined);
  }
}

/** Ends `fill` with a sentence. */
export class Refusal extends Error {
  readonly error: DataError;
  constructor(error: DataError) {
    super(error.text);
    this.error = error;
  }
}

/** Gives a season's folder another name beside where it is; returns the new path. */
export async function renameFolder(folder: string, wanted: string): Promise<Result<string>> {
  const name = plainFileName(wanted, '');
  if (name === '') {
    const text = `"${wanted}" cannot be the name of a folder; use letters and digits.`;
    return failure({ code: 'bad_name', source: folder, text });
  }
  const target = join(dirname(folder), name);
  if (target === folder) return success(folder);
  if (
    (await stat(target).catch(() => undefined)) !== undefined &&
    name.toLowerCase() !== basename(folder).toLowerCase()
  ) {
    const text = `There is a folder ${name} already; choose another name.`;
    return failure({ code: 'name_taken', source: target, text });
  }
  try {
    await rename(folder, target);
    return success(await realpath(target));
  } catch (caught) {
    return failure(diskFault(caught, `rename the folder ${basename(folder)}`, folder));
  }
}

async function namedFolder(part: string, home: string, wanted: string): Promise<string> {
  const taken = new Set((await readdir(home)).map((name) => name.toLowerCase()));
  let name = wanted;
  for (let number = 2; taken.has(name.toLowerCase()); number++) name = numberedName(wanted, number);
  await rename(part, join(home, name));
  return join(home, name);
}

/** Folders that a killed copy or unpacking has left. */
async function removeLeftFolders(home: string): Promise<void> {
  const names = await readdir(home);
  for (const name of names) {
    const owner = /\.(\d+)\.[0-9a-f]{8}\.part$/.exec(name)?.[1];
    if (owner === undefined || !isPartName(name)) continue;
    if (Number(owner) !== process.pid && !isAlive(Number(owner)))
      await rm(join(home, name), { recursive: true, force: true });
  }
}
