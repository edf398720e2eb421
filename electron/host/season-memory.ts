/** What a thread keeps of the seasons that it ran last. */
import { Memo } from '../../core/memo.ts';
import { SeasonCache } from './cache/season-cache.ts';
import { SourceMemory } from './source-memory.ts';

export interface SeasonMemory {
  readonly memo: Memo;
  readonly sources: SourceMemory;
  readonly cache: SeasonCache;
  /** Whether a run has come to its end with it. */
  hasRun: boolean;
}

/** Seasons that a thread keeps in its memory: the one that is worked on, and the one that it is compared with. A choice of ours. */
const MOST_SEASONS = 2;

export class SeasonMemories {
  /** By folder; the last one used is the last. */
  readonly #kept = new Map<string, SeasonMemory>();

  of(folder: string): SeasonMemory {
    const memory = this.#kept.get(folder) ?? newMemory(folder);
    this.#kept.delete(folder);
    this.#kept.set(folder, memory);
    for (const other of this.#kept.keys()) {
      if (this.#kept.size <= MOST_SEASONS) break;
      this.#kept.delete(other);
    }
    return memory;
  }

  forget(folder: string): void {
    this.#kept.delete(folder);
  }
}

function newMemory(folder: string): SeasonMemory {
  return { memo: new Memo(), sources: new SourceMemory(), cache: new SeasonCache(folder), hasRun: false };
}
