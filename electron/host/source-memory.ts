/** What was read of a season's files, kept from run to run, so that files that are as they were are not read again. */
import type { Result } from '../../core/errors.ts';
import type { FileIdentity } from './file-identity.ts';

/** A file as it was read. */
export interface RememberedFile {
  readonly identity: FileIdentity;
  readonly sha256: string;
  /** Everything beside its bytes that decides what is read in it: the reader and its settings. */
  readonly reading: string;
  /** What the reader made of it. */
  readonly made: Result<unknown>;
}

export class SourceMemory {
  readonly #files = new Map<string, RememberedFile>();

  get(path: string): RememberedFile | undefined {
    return this.#files.get(path);
  }

  set(path: string, file: RememberedFile): void {
    this.#files.set(path, file);
  }

  /** Forgets the files of other paths than these. */
  keepOnly(paths: readonly string[]): void {
    const kept = new Set(paths);
    for (const path of this.#files.keys()) if (!kept.has(path)) this.#files.delete(path);
  }
}
