/** `summary.json`: the contract's summary as text. */
import type { Summary } from '../result.ts';
import { significant } from './number-text.ts';

/**
 * Significant digits of every number: far beyond any measurement, enough for the mass ledger to close to 1e-9, and
 * few enough to hide the last bits of a double.
 */
const SIGNIFICANT_DIGITS = 13;

/** Two-space JSON with a newline at the end; keys in the contract's order, numbers that do not exist are `null`. */
export function summaryText(summary: Summary): string {
  const stable = (_key: string, held: unknown) =>
    typeof held === 'number' ? significant(held, SIGNIFICANT_DIGITS) : held;
  return `${JSON.stringify(summary, stable, 2)}\n`;
}
