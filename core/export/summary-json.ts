/** `summary.json`: the contract's summary as text. */
import type { Summary } from '../result.ts';
import { significant } from './number-text.ts';

/**
 * Significant digits of every number: far beyond any measurement, enough for the mass ledger to close to 1e-9, and
 * few enough to hide the last bits of a double.
 */
const SIGNIFICANT_DIGITS = 13;

/** A list of nothing but numbers; no string of JSON holds a line end, so that nothing else is mistaken for one. */
const NUMBER_LIST = /\[\n\s+((?:-?[\d.e+-]+|null)(?:,\n\s+(?:-?[\d.e+-]+|null))*)\n\s+\]/g;

/**
 * Two-space JSON with a newline at the end, lists of numbers on one line; keys in the contract's order, numbers that do
 * not exist are `null`.
 */
export function summaryText(summary: Summary): string {
  const stable = (_key: string, held: unknown) =>
    typeof held === 'number' ? significant(held, SIGNIFICANT_DIGITS) : held;
  const text = JSON.stringify(summary, stable, 2);
  return `${text.replace(NUMBER_LIST, (_, numbers: string) => `[${numbers.replaceAll(/,\n\s+/g, ', ')}]`)}\n`;
}
