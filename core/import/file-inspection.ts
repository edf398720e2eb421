/** What a file turned out to be and to hold, before it is decided where it goes. */
import type { Damage, DataError, Notice } from '../errors.ts';
import type { FileKind } from '../read/recognise.ts';
import type { Ticket } from '../read/ticket.ts';
import type { ColumnMappingSheet } from '../season.ts';
import type { FieldOutline } from './field-outlines.ts';
import type { MappingGuess } from './mapping-guess.ts';
import type { RunOutline } from './run-outline.ts';
import type { TrackSamples } from './track-samples.ts';

export interface FileInspection {
  /** As the file is called where it came from. */
  readonly name: string;
  readonly kind: FileKind;
  /** One sentence: why it was taken for that. */
  readonly reason: string;
  readonly lines: number;
  readonly damage: readonly Damage[];
  readonly notices: readonly Notice[];
  /** Why nothing can be made of it. */
  readonly error?: DataError;
  /** Unix seconds; NaN when no time is known. */
  readonly first_utc_s: number;
  readonly last_utc_s: number;
  /** Days on which something was recorded, by the sun where it was recorded: `2026-10-03`. */
  readonly days: readonly string[];
  /** Comments and headings at its beginning, where loggers write who they are. */
  readonly heading: string;
  /** Whether the host made the text that was looked into of something else (a Shapefile). */
  readonly converted?: boolean;
  readonly content: InspectedContent;
}

export type InspectedContent =
  | { readonly kind: 'runs'; readonly runs: readonly RunOutline[] }
  | ({ readonly kind: 'rows' } & RowsOutline)
  | ({ readonly kind: 'table' } & InspectedTable)
  | { readonly kind: 'tickets'; readonly tickets: readonly Ticket[] }
  | { readonly kind: 'boundary'; readonly outlines: readonly FieldOutline[] }
  | { readonly kind: 'none' };

/** A log of rows in outline. */
export interface RowsOutline {
  readonly rows: number;
  readonly samples: TrackSamples;
  /** First and last counter of a tally log without times. */
  readonly counter?: { readonly first_us: number; readonly last_us: number };
  /** Width that most cutting rows tell, m; NaN when none does. */
  readonly width_m: number;
  /** Names of fields in the rows, in the order in which they come. */
  readonly fields: readonly string[];
}

/** Delimited text that is read through a column mapping. */
export interface InspectedTable {
  readonly header: readonly string[];
  /** Through which it was read: remembered, given, or guessed with enough confidence. */
  readonly mapping: ColumnMappingSheet | undefined;
  readonly chosen_by: 'memory' | 'user' | 'guess' | 'nobody';
  /** What the program would guess, whoever chose. */
  readonly guess: MappingGuess | undefined;
  /** Present when it could be read. */
  readonly log?: RowsOutline;
}
