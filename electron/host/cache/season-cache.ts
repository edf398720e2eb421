/**
 * What a season's cache holds: logs as their reader left them, by the content of the file; the last result, by the sheet and
 * the content of all files; and hashes of files by their size, times and number. Nothing of it is needed: without it the same
 * comes of the same files, later.
 */
import { createHash } from 'node:crypto';
import type { Notice } from '../../../core/errors.ts';
import type { SeasonResult } from '../../../core/result.ts';
import { diskCause } from '../disk-faults.ts';
import { codeOf, diskLayer, type FileLayer } from '../file-layer.ts';
import { CACHE_FOLDER, CacheFolder } from './cache-folder.ts';
import { codeFingerprint } from './code-fingerprint.ts';

/** A finished run without its sheet. */
export interface CachedRun {
  readonly result: SeasonResult;
  readonly notices: readonly Notice[];
}

/** What a result rests on. */
export interface ResultGrounds {
  /** The sheet as it is written. */
  readonly sheet: string;
  /** What was noticed before the run, which its warnings repeat. */
  readonly early: readonly Notice[];
  /** SHA-256 of each listed file, by path. */
  readonly hashes: ReadonlyMap<string, string>;
}

/** A log file and how it is read. */
export interface LogGrounds {
  readonly path: string;
  readonly sha256: string;
  readonly reading: string;
}

interface Entry {
  readonly name: string;
  readonly key: string;
}

interface KnownHash {
  readonly identity: string;
  readonly sha256: string;
}

const HASHES: Entry = { name: 'file-hashes', key: 'size, times and number of each file' };

export class SeasonCache {
  readonly #folder: CacheFolder;
  #hashes: Map<string, KnownHash> | undefined;
  #areHashesNew = false;
  /** Entry of each log of the season, by path. */
  readonly #logs = new Map<string, Entry>();
  readonly #waiting = new Map<string, { readonly entry: Entry; readonly content: unknown }>();
  #result: Entry | undefined;
  /** Whether entries may lie there that belong to nothing any more. */
  #hasOld = false;
  #hasTold = false;
  /** One after the other. */
  #saving: Promise<Notice | undefined> = Promise.resolve(undefined);

  /** `folder` is the real path of the season folder. */
  constructor(folder: string, layer: FileLayer = diskLayer) {
    this.#folder = new CacheFolder(folder, layer);
  }

  /** The hash of a file that had this identity when it was read. */
  async knownHash(path: string, identity: string): Promise<string | undefined> {
    const known = (await this.#knownHashes()).get(path);
    return known?.identity === identity ? known.sha256 : undefined;
  }

  /** Whether a file was hashed under this path at all, so that its content may be known. */
  async hasHashed(path: string): Promise<boolean> {
    return (await this.#knownHashes()).has(path);
  }

  async noteHash(path: string, identity: string, sha256: string): Promise<void> {
    const hashes = await this.#knownHashes();
    if (hashes.get(path)?.identity === identity) return;
    hashes.set(path, { identity, sha256 });
    this.#areHashesNew = true;
  }

  /** What the reader made of the log; undefined when it is not known. */
  async log(grounds: LogGrounds): Promise<unknown> {
    const entry = logEntry(grounds);
    this.#logs.set(grounds.path, entry);
    return this.#folder.read(entry.name, entry.key);
  }

  /** To be written at the next `save`. */
  rememberLog(grounds: LogGrounds, made: unknown): void {
    const entry = logEntry(grounds);
    this.#logs.set(grounds.path, entry);
    this.#waiting.set(entry.name, { entry, content: made });
  }

  async result(grounds: ResultGrounds): Promise<CachedRun | undefined> {
    const entry = resultEntry(grounds);
    const found = (await this.#folder.read(entry.name, entry.key)) as CachedRun | undefined;
    if (found !== undefined) this.#result = entry;
    return found;
  }

  /** To be written at the next `save`; takes the place of the result before, and logs of other paths are let go with it. */
  rememberResult(grounds: ResultGrounds, run: CachedRun): void {
    const entry = resultEntry(grounds);
    if (entry.name === this.#result?.name) return;
    if (this.#result !== undefined) this.#waiting.delete(this.#result.name);
    this.#result = entry;
    this.#hasOld = true;
    this.#waiting.set(entry.name, { entry, content: run });
    for (const path of this.#logs.keys()) if (!grounds.hashes.has(path)) this.#logs.delete(path);
  }

  /** Writes what waits, and removes what belongs to no file of the season. A disk that refuses is told of in one notice. */
  save(): Promise<Notice | undefined> {
    this.#saving = this.#saving.then(() => this.#saveNow());
    return this.#saving;
  }

  async #saveNow(): Promise<Notice | undefined> {
    try {
      for (const [name, { entry, content }] of [...this.#waiting]) {
        this.#waiting.delete(name);
        await this.#folder.write(entry.name, entry.key, content);
      }
      if (this.#areHashesNew) await this.#saveHashes();
      if (this.#result === undefined || !this.#hasOld) return undefined;
      this.#hasOld = false;
      const logs = [...this.#logs.values()].map(({ name }) => name);
      await this.#folder.keepOnly(new Set([HASHES.name, this.#result.name, ...logs]));
      return undefined;
    } catch (caught) {
      this.#waiting.clear();
      return this.#unkept(caught);
    }
  }

  /** Said once: a disk that is full or read-only stays so for a while. */
  #unkept(caught: unknown): Notice | undefined {
    if (this.#hasTold) return undefined;
    this.#hasTold = true;
    // a fault of ours must not take the result with it: it is there, and only not kept
    const why = codeOf(caught) === '' ? 'it cannot be written down' : diskCause(caught);
    const text = `What was computed could not be kept in ${CACHE_FOLDER}: ${why}. The results are complete; opening the season will take longer.`;
    return { code: 'cache_not_kept', severity: 'info', source: CACHE_FOLDER, count: 1, text };
  }

  async #saveHashes(): Promise<void> {
    this.#areHashesNew = false;
    await this.#folder.write(HASHES.name, HASHES.key, [...(await this.#knownHashes())]);
  }

  async #knownHashes(): Promise<Map<string, KnownHash>> {
    if (this.#hashes !== undefined) return this.#hashes;
    const found = await this.#folder.read(HASHES.name, HASHES.key);
    this.#hashes ??= new Map(found as [string, KnownHash][] | undefined);
    return this.#hashes;
  }
}

/** Hash of all that decides a result: the sheet, the content of every file, and the code. */
export function resultKey(grounds: ResultGrounds): string {
  return resultEntry(grounds).key;
}

function logEntry({ path, sha256, reading }: LogGrounds): Entry {
  return named('log', [path, sha256, reading]);
}

function resultEntry({ sheet, early, hashes }: ResultGrounds): Entry {
  return named('result', [sheet, early, [...hashes].sort(([a], [b]) => (a < b ? -1 : 1))]);
}

/** Everything that decides the content is in the key, and the key in the name. */
function named(kind: string, grounds: unknown): Entry {
  const key = createHash('sha256')
    .update(JSON.stringify([kind, codeFingerprint(), grounds]))
    .digest('hex');
  return { name: `${kind}-${key.slice(0, 24)}`, key };
}
