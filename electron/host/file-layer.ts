/** The few file operations that writing needs, so that tests can put a full or locked disk in their place. */
import { existsSync } from 'node:fs';
import { copyFile, link, mkdir, open, readdir, rename, rm, stat } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';

/** An open file that is written from front to back. */
export interface WritableFile {
  write(bytes: Uint8Array): Promise<void>;
  /** Waits until the bytes are on the disk. */
  sync(): Promise<void>;
  close(): Promise<void>;
}

/** Throws errors with Node's `code` (`ENOSPC`, `EACCES`, …), like the operations of `node:fs`. */
export interface FileLayer {
  makeFolder(path: string): Promise<void>;
  openForWriting(path: string): Promise<WritableFile>;
  rename(from: string, to: string): Promise<void>;
  /** A second name for the same bytes; `EEXIST` when something has that name. Not every disk can. */
  link(from: string, to: string): Promise<void>;
  /** A copy, flushed to the disk. */
  copy(from: string, to: string): Promise<void>;
  /** Waits until the names in the folder are on the disk; nothing where the system has no such thing. */
  syncFolder(folder: string): Promise<void>;
  /** No error when nothing is there. */
  remove(path: string): Promise<void>;
  isFolder(path: string): Promise<boolean>;
  namesIn(folder: string): Promise<string[]>;
}

/** The real disk. */
export const diskLayer: FileLayer = {
  makeFolder: (path) => makeFolderAndParents(resolve(path)),
  openForWriting: async (path) => {
    const handle = await open(path, 'w');
    return {
      write: (bytes) => handle.writeFile(bytes),
      sync: () => handle.sync(),
      close: () => handle.close(),
    };
  },
  rename,
  link,
  copy: async (from, to) => {
    await copyFile(from, to);
    const handle = await open(to, 'r+');
    try {
      await handle.sync();
    } finally {
      await handle.close();
    }
  },
  syncFolder,
  remove: (path) => rm(path, { force: true }),
  isFolder: async (path) => {
    const found = await stat(path).catch(() => undefined);
    return found?.isDirectory() ?? false;
  },
  namesIn: readdir,
};

/** Windows opens no folder as a file, and some network disks do not flush one; the rename itself is as durable there as it gets. */
async function syncFolder(folder: string): Promise<void> {
  if (process.platform === 'win32') return;
  const handle = await open(folder, 'r');
  try {
    await handle.sync();
  } catch (caught) {
    if (!['EINVAL', 'ENOTSUP', 'EOPNOTSUPP', 'ENOSYS'].includes(codeOf(caught))) throw caught;
  } finally {
    await handle.close();
  }
}

/** Step by step, because Node's own recursive `mkdir` never returns where the system denies that a parent exists. */
async function makeFolderAndParents(path: string): Promise<void> {
  try {
    await mkdir(path);
  } catch (caught) {
    const code = codeOf(caught);
    if (code === 'ENOENT' && dirname(path) !== path && !existsSync(dirname(path))) {
      await makeFolderAndParents(dirname(path));
      await mkdir(path);
    } else if (!(code === 'EEXIST' && (await stat(path)).isDirectory())) throw caught;
  }
}

/** Node's error code of something caught, e.g. `ENOENT`; empty when it has none. */
export function codeOf(caught: unknown): string {
  const code = (caught as { code?: unknown } | null)?.code;
  return typeof code === 'string' ? code : '';
}
