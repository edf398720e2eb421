/** What is fuzzed: one reader, what it starts from, and what it makes of bytes. */
import type { Result } from '../../core/errors.ts';
import type { Random } from '../synthetic/random.ts';
import type { Mutation } from './byte-mutations.ts';

export interface FuzzTarget {
  readonly name: string;
  /** Small valid files. */
  readonly corpus: () => readonly Uint8Array[];
  /** Words of the format. */
  readonly words: readonly string[];
  /** Mutations that know the format; empty where bytes are all there is to know. */
  readonly ownMutations: readonly Mutation[];
  /** A last step after all mutations, such as putting checksums right. */
  readonly finish?: (bytes: Uint8Array, random: Random) => Uint8Array;
  /**
   * Reads. Called twice on the same bytes with other randomness (the sizes of chunks, say), and must answer the same. What is
   * fixed for the case (the mapping that it is read through) depends on `choice` alone.
   */
  readonly read: (
    bytes: Uint8Array,
    random: Random,
    choice: number,
  ) => Result<unknown> | Promise<Result<unknown>>;
  /** What is wrong with a successful answer beyond what holds for all. */
  readonly check?: (found: unknown, bytes: Uint8Array) => string | undefined;
  /** Microseconds a byte that reading may take, if not the usual. */
  readonly us_per_byte?: number;
  /** Milliseconds that reading may take whatever the input, if not the usual. */
  readonly budget_ms?: number;
  /** Cases beside those of others, where reading is slow; 1 when absent. */
  readonly share?: number;
  /** Bytes that an answer may take whatever the input, if not the usual. */
  readonly free_bytes?: number;
}
