/** Lengths as they are read off a rule: millimetres, or inches with a fraction whose denominator the rule has. */
import { M_PER_IN } from '../units.ts';

const MM_PER_IN = 1000 * M_PER_IN;

/** A length on an inch rule: whole inches and numerator/denominator in lowest terms, and what rounding left over. */
export interface InchFraction {
  readonly negative: boolean;
  readonly whole: number;
  readonly numerator: number;
  /** 1 where there is no fraction. */
  readonly denominator: number;
  /** The length itself minus what the rule shows, mm. */
  readonly residual_mm: number;
}

/**
 * The nearest mark on a rule with `parts` marks an inch (16 or 32, or another power of two). Halves go away from zero; the
 * fraction is in lowest terms. @throws RangeError when the length is not a number or `parts` no power of two up to 64.
 */
export function inchFractionFromMm(length_mm: number, parts: number): InchFraction {
  if (!Number.isFinite(length_mm)) throw new RangeError(`A length is a number of mm, not ${length_mm}.`);
  if (![1, 2, 4, 8, 16, 32, 64].includes(parts))
    throw new RangeError(`A rule has 1, 2, 4 … 64 parts an inch, not ${parts}.`);
  // 25.4 has no exact double: what lies on the half to within a rounding error is on the half
  const exact = (Math.abs(length_mm) / MM_PER_IN) * parts;
  const marks = Math.floor(exact + 0.5 + 1e-9);
  let numerator = marks % parts;
  let denominator = parts;
  while (numerator % 2 === 0 && denominator > 1) {
    numerator /= 2;
    denominator /= 2;
  }
  const negative = length_mm < 0 && marks > 0;
  const shown_mm = ((negative ? -marks : marks) / parts) * MM_PER_IN;
  return {
    negative,
    whole: Math.floor(marks / parts),
    numerator,
    denominator,
    residual_mm: length_mm - shown_mm,
  };
}

/** `1 3/4 in`, `62 in`, `5/32 in`, `−3/16 in`. */
export function inchText({ negative, whole, numerator, denominator }: InchFraction): string {
  const fraction = numerator === 0 ? '' : `${numerator}/${denominator}`;
  const parts = [whole > 0 || fraction === '' ? String(whole) : '', fraction].filter((part) => part !== '');
  return `${negative ? '−' : ''}${parts.join(' ')} in`;
}

/** How lengths are shown. */
export type LengthUnits = 'us' | 'metric';

/**
 * A length for a person with a rule: `1 3/4 in (+0.2 mm)`, the residual where rounding left 0.05 mm or more; `44.5 mm` in
 * metric. `parts` is that of the rule.
 */
export function lengthText(length_mm: number, units: LengthUnits, parts = 16): string {
  if (units === 'metric') return `${length_mm.toFixed(1).replace(/\.0$/, '').replace('-', '−')} mm`;
  const inches = inchFractionFromMm(length_mm, parts);
  const left_mm = inches.residual_mm.toFixed(1);
  if (Number(left_mm) === 0) return inchText(inches);
  return `${inchText(inches)} (${inches.residual_mm > 0 ? '+' : '−'}${left_mm.replace('-', '')} mm)`;
}

/**
 * A length as people type it, mm: `3.5in`, `3 1/2 in`, `3-1/2"`, `1/2"`, `89mm`, `8.9 cm`, `1.6m`, `5ft`; a bare number is in
 * inches or mm by `units`. NaN when it is none.
 */
export function lengthFromText(text: string, units: LengthUnits): number {
  const match = LENGTH.exec(text.trim().toLowerCase().replace(',', '.'));
  if (match === null) return Number.NaN;
  const [, whole, numerator, denominator, decimal, unit] = match;
  const number =
    decimal === undefined ? Number(whole ?? 0) + Number(numerator) / Number(denominator) : Number(decimal);
  return number * MM_PER[unit ?? (units === 'us' ? 'in' : 'mm')];
}

const LENGTH = /^(?:(?:(\d+)[\s-]+)?(\d+)\/(\d+)|(\d+(?:\.\d*)?|\.\d+))\s*(mm|cm|m|in|inch|inches|"|ft|')?$/;
const MM_PER: Readonly<Record<string, number>> = {
  mm: 1,
  cm: 10,
  m: 1000,
  in: MM_PER_IN,
  inch: MM_PER_IN,
  inches: MM_PER_IN,
  '"': MM_PER_IN,
  ft: 12 * MM_PER_IN,
  "'": 12 * MM_PER_IN,
};
