/**
 * How the core speaks of trouble.
 *
 * Three cases, three ways (see DEVELOPERS.md):
 * our own mistake throws `RangeError` at the door, with the offending number in the sentence;
 * bad data is counted and reported as a `Notice` beside the result, and the work goes on;
 * when no result is possible the answer is a failed `Result` with a `DataError`.
 */

/** `info`: worth knowing; `look`: the numbers may be affected; `mend`: something must be put right. */
export type Severity = 'info' | 'look' | 'mend';

/** One thing found in the data, said once, with how often it occurred and where first. */
export interface Notice {
  /** Stable machine-readable word, snake_case; scripts may rely on it. */
  readonly code: string;
  readonly severity: Severity;
  /** File (relative to the season folder), field, machine or key that it is about. */
  readonly source: string;
  /** First line of `source` where it was met, 1-based, if it is about lines. */
  readonly line?: number;
  readonly count: number;
  /** The whole sentence: what, where, and how to mend it. */
  readonly text: string;
}

/** Why there is no result. The text is one clear sentence: what, where, how to mend it. */
export interface DataError {
  readonly code: string;
  readonly source: string;
  readonly line?: number;
  readonly text: string;
}

/** A value with what was noticed on the way, or the reason why there is none. */
export type Result<T> =
  | { readonly ok: true; readonly value: T; readonly notices: readonly Notice[] }
  | { readonly ok: false; readonly error: DataError; readonly notices: readonly Notice[] };

/** A successful result. */
export function success<T>(value: T, notices: readonly Notice[] = []): Result<T> {
  return { ok: true, value, notices };
}

/** A failed result. */
export function failure<T>(error: DataError, notices: readonly Notice[] = []): Result<T> {
  return { ok: false, error, notices };
}

/** Damage met while reading a file: by kind, how often, and the first line (1-based). */
export interface Damage {
  readonly kind: DamageKind;
  readonly count: number;
  readonly first_line: number;
}

/** Kinds of damage that a log can carry (contract: each is counted, none stops the import). */
export type DamageKind =
  | 'truncated_last_line'
  | 'nul_bytes'
  | 'unreadable_line'
  | 'line_too_long'
  | 'out_of_order'
  | 'repeated_line'
  | 'bad_checksum'
  | 'missing_checksum'
  | 'missing_edge'
  | 'skipped_sentence'
  | 'bad_fix'
  | 'bad_number';
