/** One guess about one column, and how sure it is. */
import type { MappedQuantity } from '../season.ts';
import { shownText } from '../shown-text.ts';
import type { ColumnProfile } from './column-profile.ts';

export interface ColumnGuess {
  readonly quantity: MappedQuantity;
  /** Heading, or number from 1. */
  readonly column: string | number;
  readonly index: number;
  readonly unit?: string;
  /** 0 … 1: from 0.5 on it is taken, below it is only offered. */
  readonly confidence: number;
  /** One sentence: why this column, why this unit. */
  readonly reason: string;
}

/** From here on a guess is taken without asking. */
export const TAKEN = 0.5;

export function guessOf(
  profile: ColumnProfile,
  quantity: MappedQuantity,
  unit: string | undefined,
  confidence: number,
  reason: string,
): ColumnGuess {
  return {
    quantity,
    column: profile.column,
    index: profile.index,
    ...(unit === undefined ? {} : { unit }),
    confidence: Math.round(100 * Math.max(0, Math.min(1, confidence))) / 100,
    reason: `${named(profile)}: ${reason}`,
  };
}

/** `"Flow"`, or `column 3` where the heading is missing or not alone. */
export function named({ column }: ColumnProfile): string {
  return typeof column === 'number' ? `column ${column}` : `"${shownText(column)}"`;
}
