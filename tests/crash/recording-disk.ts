/**
 * The real disk, writing down every operation, so that a power cut after any of them can be played: what a disk may
 * then hold is all that was flushed, and of the rest a part. Bytes that were not flushed may be there, half there or
 * gone; names that were changed and not flushed with their folder may be as before, in the order in which they were
 * made (journalling file systems keep that order).
 */
import { mkdirSync, readFileSync, utimesSync, writeFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { diskLayer, type FileLayer } from '../../electron/host/file-layer.ts';

/** What became of bytes that were written and not flushed. */
export type UnflushedBytes = 'there' | 'half' | 'gone';

type Operation =
  | { readonly kind: 'create'; readonly path: string; readonly file: number }
  | { readonly kind: 'write'; readonly file: number; readonly bytes: Uint8Array }
  | { readonly kind: 'sync'; readonly file: number }
  | { readonly kind: 'rename' | 'link'; readonly from: string; readonly to: string }
  | { readonly kind: 'remove'; readonly path: string }
  | { readonly kind: 'sync_folder' };

interface DiskFile {
  bytes: Uint8Array;
  flushed: Uint8Array;
}

/** Long past any heartbeat, as after a reboot. */
const REBOOT_MS = 3600_000;

export class RecordingDisk {
  readonly layer: FileLayer;
  readonly #folder: string;
  readonly #start: ReadonlyMap<string, Uint8Array>;
  readonly #operations: Operation[] = [];
  #files = 0;

  /** `names` are the files of `folder` that are there now, flushed long ago. */
  constructor(folder: string, names: readonly string[]) {
    this.#folder = folder;
    this.#start = new Map(names.map((name) => [name, new Uint8Array(readFileSync(join(folder, name)))]));
    this.layer = this.#recording();
  }

  /** Operations so far. */
  get length(): number {
    return this.#operations.length;
  }

  /** Of the first `count` operations, how many are on the disk for certain because a folder was flushed after them. */
  flushedNames(count: number): number {
    return this.#operations.slice(0, count).findLastIndex(({ kind }) => kind === 'sync_folder') + 1;
  }

  /** Writes into `target` what a disk may hold when the power goes after `count` operations, `names` of which have reached the folders. */
  play(target: string, count: number, names: number, unflushed: UnflushedBytes): void {
    const held = new Map<string, DiskFile>();
    for (const [path, bytes] of this.#start) held.set(path, { bytes, flushed: bytes });
    const files = new Map<number, DiskFile>();
    for (const [i, operation] of this.#operations.slice(0, count).entries()) {
      const file = 'file' in operation ? files.get(operation.file) : undefined;
      if (operation.kind === 'create') {
        const made = { bytes: new Uint8Array(0), flushed: new Uint8Array(0) };
        files.set(operation.file, made);
        if (i < names) held.set(operation.path, made);
      } else if (operation.kind === 'write' && file) file.bytes = joined(file.bytes, operation.bytes);
      else if (operation.kind === 'sync' && file) file.flushed = file.bytes;
      else if (i < names) renamed(held, operation);
    }
    mkdirSync(target, { recursive: true });
    for (const [path, { bytes, flushed }] of held) {
      const found = unflushed === 'there' ? bytes : unflushed === 'gone' ? flushed : halfOf(bytes, flushed);
      mkdirSync(dirname(join(target, path)), { recursive: true });
      writeFileSync(join(target, path), path.startsWith('season.lock') ? asOfTheDead(found) : found);
      const then = new Date(Date.now() - REBOOT_MS);
      utimesSync(join(target, path), then, then);
    }
  }

  #recording(): FileLayer {
    const add = (operation: Operation) => void this.#operations.push(operation);
    const name = (path: string) => relative(this.#folder, path);
    return {
      ...diskLayer,
      openForWriting: async (path) => {
        const real = await diskLayer.openForWriting(path);
        const file = this.#files++;
        add({ kind: 'create', path: name(path), file });
        return {
          write: async (bytes) => {
            await real.write(bytes);
            add({ kind: 'write', file, bytes: bytes.slice() });
          },
          sync: async () => {
            await real.sync();
            add({ kind: 'sync', file });
          },
          close: () => real.close(),
        };
      },
      rename: async (from, to) => {
        await diskLayer.rename(from, to);
        add({ kind: 'rename', from: name(from), to: name(to) });
      },
      link: async (from, to) => {
        await diskLayer.link(from, to);
        add({ kind: 'link', from: name(from), to: name(to) });
      },
      copy: () => {
        throw new RangeError('this disk links');
      },
      remove: async (path) => {
        await diskLayer.remove(path);
        add({ kind: 'remove', path: name(path) });
      },
      syncFolder: async (folder) => {
        await diskLayer.syncFolder(folder);
        add({ kind: 'sync_folder' });
      },
    };
  }
}

function renamed(held: Map<string, DiskFile>, operation: Operation): void {
  if (operation.kind === 'remove') held.delete(operation.path);
  if (operation.kind !== 'rename' && operation.kind !== 'link') return;
  const file = held.get(operation.from);
  if (file === undefined) return;
  // Renaming one name of a file to another name of the same file does nothing [rename(2)].
  if (operation.kind === 'rename' && held.get(operation.to) !== file) held.delete(operation.from);
  held.set(operation.to, file);
}

/** After a reboot the process that held the lock is no more; here it is this one, and lives. */
function asOfTheDead(lock: Uint8Array): Uint8Array {
  return Buffer.from(Buffer.from(lock).toString('utf8').replace(`"pid": ${process.pid}`, '"pid": 999999999'));
}

function joined(a: Uint8Array, b: Uint8Array): Uint8Array {
  const both = new Uint8Array(a.length + b.length);
  both.set(a);
  both.set(b, a.length);
  return both;
}

function halfOf(bytes: Uint8Array, flushed: Uint8Array): Uint8Array {
  return bytes.slice(0, Math.ceil((flushed.length + bytes.length) / 2));
}
