/** What an import will do, and what it leaves for a person to confirm. */
import type { SingleEdit } from '../edits/season-edit.ts';
import type { DataError, Notice } from '../errors.ts';
import type { FileInspection } from './file-inspection.ts';

/** A file that wants in. */
export interface ImportCandidate {
  /** Where it is, with its folders: what tells it apart, and may say which machine it is from. */
  readonly id: string;
  readonly sha256: string;
  readonly bytes: number;
  readonly inspection: FileInspection;
}

/** A file that the season lists already. */
export interface SeasonFile {
  /** Inside the season folder. */
  readonly path: string;
  readonly sha256: string;
  readonly inspection: FileInspection;
}

/** What the user has said beforehand. */
export interface ImportChoices {
  /** Id of a machine, of the season or new. */
  readonly machine?: string;
  /** Name of a field, of the season or new. */
  readonly field?: string;
  /** Crop of new fields. */
  readonly crop?: string;
}

export type ImportTarget = 'logs' | 'tickets' | 'boundaries';

/** What becomes of one file. */
export type FilePlan =
  | {
      readonly outcome: 'take';
      readonly into: ImportTarget;
      readonly machine?: string;
      readonly mapping?: string;
    }
  /** `same_as`: path of the season's file, or id of the other candidate, that holds all of it. */
  | { readonly outcome: 'known'; readonly same_as: string; readonly text: string }
  | { readonly outcome: 'needs_mapping'; readonly text: string }
  | { readonly outcome: 'refuse'; readonly error: DataError };

export interface PlannedFile {
  readonly candidate: ImportCandidate;
  readonly plan: FilePlan;
  /** Why it goes to that machine; empty where that is no question. */
  readonly reason: string;
  /** Fields in which it was recorded. */
  readonly fields: readonly string[];
}

/** A file that the import itself writes. */
export interface WrittenBoundary {
  /** What `ImportPlan.edits` asks for it by; never that of a candidate. */
  readonly id: string;
  /** Proposed name in `boundaries/`. */
  readonly name: string;
  readonly text: string;
  readonly field: string;
}

/** Something that a person can answer better than the program; the season works without, or says that it does not. */
export interface OpenQuestion {
  readonly code: 'paddle' | 'header_width' | 'antenna' | 'crop' | 'machine' | 'field_name' | 'mapping';
  /** Machine, field or file. */
  readonly about: string;
  /** What was taken for the time being; null when nothing can be. */
  readonly assumed: string | null;
  /** `needed`: nothing can be built of it before; `confirm`: right or wrong, it can be changed later. */
  readonly weight: 'needed' | 'confirm';
  readonly text: string;
}

/** A stretch of time that two files of one machine share, or that none of them covers though the machine worked. */
export interface FileSpan {
  readonly machine: string;
  readonly from_utc_s: number;
  readonly to_utc_s: number;
  /** Candidates' ids or paths, the earlier file first. */
  readonly files: readonly [string, string];
}

export interface ImportPlan {
  readonly files: readonly PlannedFile[];
  readonly boundaries: readonly WrittenBoundary[];
  /**
   * The season's edits once every file is copied, in order: `pathOf` gives the path of a candidate (by id) or of a written
   * boundary (by its id) in the season folder, undefined for one that could not be copied.
   */
  readonly edits: (pathOf: (id: string) => string | undefined) => SingleEdit[];
  readonly questions: readonly OpenQuestion[];
  readonly gaps: readonly FileSpan[];
  readonly overlaps: readonly FileSpan[];
  readonly notices: readonly Notice[];
}
