/**
 * What was found in the files of an open season, so that another import need not read them again. It is believed only while
 * size and time of the file, its record in the sheet and the mappings to read it by are what they were.
 */
import { stat } from 'node:fs/promises';
import type { ColumnMappingSheet, FileRecord } from '../../core/season.ts';
import type { InspectedFile } from './import-inspection.ts';
import type { SeasonStore } from './season-store.ts';

/** What an inspection depends on besides the file's bytes. */
export interface InspectedBy {
  readonly mappings: readonly ColumnMappingSheet[];
  readonly mapping?: ColumnMappingSheet;
}

interface Remembered {
  readonly size: number;
  readonly mtime_ms: number;
  readonly by: string;
  readonly found: InspectedFile;
}

export class InspectionMemory {
  readonly #kept = new Map<string, Remembered>();

  /** What was found in the file at `path`, if it is still the same; `record` is the season's own of it. */
  async recall(
    path: string,
    record: FileRecord | undefined,
    by: InspectedBy,
  ): Promise<InspectedFile | undefined> {
    const kept = this.#kept.get(path);
    if (kept === undefined) return undefined;
    const now = await stat(path).catch(() => undefined);
    const isSame =
      now?.size === kept.size &&
      now.mtimeMs === kept.mtime_ms &&
      (record === undefined || record.sha256 === kept.found.sha256) &&
      (kept.by === byText(by) || isReadAlike(kept.found));
    if (isSame) return kept.found;
    this.#kept.delete(path);
    return undefined;
  }

  /** Remembers what was found; `before` is the file's state from before it was read, so that a change meanwhile is seen. */
  keep(path: string, before: FileTimes, found: InspectedFile, by: InspectedBy): void {
    if (before.size !== found.bytes) return;
    this.#kept.set(path, { size: before.size, mtime_ms: before.mtimeMs, by: byText(by), found });
  }
}

const memories = new WeakMap<SeasonStore, InspectionMemory>();

/** The memory that goes with an open season. */
export function memoryOf(store: SeasonStore): InspectionMemory {
  const memory = memories.get(store) ?? new InspectionMemory();
  memories.set(store, memory);
  return memory;
}

/** What `stat` tells of a file. */
export interface FileTimes {
  readonly size: number;
  readonly mtimeMs: number;
}

/** Logs of runs say the same whatever they are called and whatever mappings there are. */
export function isReadAlike({ inspection }: InspectedFile): boolean {
  return inspection.content.kind === 'runs';
}

function byText({ mappings, mapping }: InspectedBy): string {
  return JSON.stringify([mappings, mapping]);
}
