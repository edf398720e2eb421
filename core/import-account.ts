/** What the host says of an import: the account of every file, and the guesses at tables (part of `host-contract.ts`). */
import type { Damage, Notice } from './errors.ts';
import type { ColumnGuess } from './import/column-guess.ts';
import type { OpenQuestion } from './import/import-plan.ts';
import type { FileKind } from './read/recognise.ts';
import type { ColumnMappingSheet } from './season.ts';

/** What came of an import: one entry a file, and what the files say together. */
export interface ImportReport {
  readonly files: readonly ImportedFile[];
  /** Stretches of work between two files that none of them holds. */
  readonly gaps: readonly ImportSpan[];
  readonly overlaps: readonly ImportSpan[];
  /** What a person knows better; everything works without an answer, or says that it waits for one. */
  readonly questions: readonly OpenQuestion[];
  readonly notices: readonly Notice[];
}

export interface ImportedFile {
  readonly source_name: string;
  readonly outcome: 'imported' | 'already_there' | 'needs_mapping' | 'refused';
  /** Where it is in the season folder; `null` when it was not taken in. */
  readonly path: string | null;
  readonly kind: FileKind;
  /** Why it was taken for that. */
  readonly reason: string;
  readonly bytes: number;
  readonly sha256: string;
  readonly lines: number;
  readonly first_utc: string | null;
  readonly last_utc: string | null;
  /** Days on which something was recorded, `2026-10-03`. */
  readonly days: readonly string[];
  readonly machines: readonly string[];
  /** Why it was given to that machine: one clause; `null` where that is no question. */
  readonly machine_reason: string | null;
  readonly fields: readonly string[];
  readonly damage: readonly Damage[];
  /** The file of the season that has the same content. */
  readonly same_as: string | null;
  readonly mapping: MappingGuess | null;
  /** Why it was refused, or what to do with it. */
  readonly text: string | null;
}

/** A guess at how to read delimited text, with rows to judge it by. */
export interface MappingGuess {
  readonly mapping: ColumnMappingSheet;
  readonly header: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** Whether a mapping of an earlier file with that header was taken. */
  readonly remembered: boolean;
  /** Each column of the mapping with how sure the guess is and why; then columns that could be taken as well. */
  readonly columns: readonly ColumnGuess[];
  readonly offered: readonly ColumnGuess[];
  /** What no column could be found for; sentences. */
  readonly lacking: readonly string[];
  /** What was taken although the table leaves it open; sentences. */
  readonly doubts: readonly string[];
}

/** A stretch of time between, or shared by, two files of one machine. */
export interface ImportSpan {
  readonly machine: string;
  readonly first_utc: string;
  readonly last_utc: string;
  readonly files: readonly [string, string];
}
