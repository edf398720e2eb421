/**
 * Numbers in exported files. Rounding to fixed digits hides the last bits of a double, so that files are the same
 * bytes everywhere; what does not exist (NaN, ±∞) is `null`, and there is no −0.
 */

/** JSON text of `number` with at most `digits` after the point: `12.5`, `-0.001`, `0`, `null`. */
export function fixedJson(number: number, digits: number): string {
  if (!Number.isFinite(number)) return 'null';
  const rounded = Number(number.toFixed(digits));
  return rounded === 0 ? '0' : String(rounded);
}

/** `number` rounded to `digits` significant digits; null where it does not exist. */
export function significant(number: number, digits: number): number | null {
  if (!Number.isFinite(number)) return null;
  const rounded = Number(number.toPrecision(digits));
  return rounded === 0 ? 0 : rounded;
}
