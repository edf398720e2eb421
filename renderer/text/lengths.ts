/** Lengths as people type them, with or without a unit: `8 in`, `8`, `203,2 mm`, `30'`, `3 ft 4 in`, `2 1/2 in`. */
import { ftFromM, inFromM, mFromFt, mFromIn } from '../../core/units.ts';
import type { UnitSystem } from './quantities.ts';

export type LengthUnit = 'mm' | 'cm' | 'm' | 'in' | 'ft';

const METRES: Readonly<Record<LengthUnit, (length: number) => number>> = {
  mm: (length) => length / 1000,
  cm: (length) => length / 100,
  m: (length) => length,
  in: mFromIn,
  ft: mFromFt,
};

const WORDS: Readonly<Record<string, LengthUnit>> = {
  mm: 'mm',
  cm: 'cm',
  m: 'm',
  in: 'in',
  inch: 'in',
  inches: 'in',
  '"': 'in',
  '″': 'in',
  '”': 'in',
  ft: 'ft',
  foot: 'ft',
  feet: 'ft',
  "'": 'ft',
  '′': 'ft',
  '’': 'ft',
};

/** A number, with a fraction of a rule's marks behind it or alone: `2.5`, `2,5`, `2 1/2`, `1/2`. */
const NUMBER = String.raw`\d+\s+\d+\/\d+|\d+\/\d+|\d*[.,]?\d+|\d+[.,]`;
const PART = new RegExp(String.raw`^\s*(${NUMBER})\s*([a-z]+|["″”'′’])?\.?\s*`, 'i');

/** Metres; NaN for what is no length. `usual` is the unit of a number without one. */
export function metresFromText(text: string, usual: LengthUnit): number {
  let rest = text.trim().replace('−', '-');
  const sign = rest.startsWith('-') ? -1 : 1;
  rest = rest.replace(/^[+-]\s*/, '');
  let sum_m = 0;
  for (let parts = 0; rest !== ''; parts++) {
    const found = PART.exec(rest);
    if (found === null || parts > 1) return Number.NaN;
    const [whole, number, word] = found;
    const unit = word === undefined ? (parts === 0 ? usual : 'in') : WORDS[word.toLowerCase()];
    if (unit === undefined) return Number.NaN;
    sum_m += METRES[unit](numberFrom(number));
    rest = rest.slice(whole.length);
    // Only feet are followed by anything, and that by inches.
    if (rest !== '' && unit !== 'ft') return Number.NaN;
  }
  return text.trim() === '' ? Number.NaN : sign * sum_m;
}

function numberFrom(text: string): number {
  const [whole, fraction] = text.includes('/') ? splitFraction(text) : [Number(text.replace(',', '.')), 0];
  return whole + fraction;
}

function splitFraction(text: string): readonly [number, number] {
  const steps = text.split(/\s+/);
  const [above, below] = (steps.at(-1) ?? '').split('/').map(Number);
  return [steps.length > 1 ? Number(steps[0]) : 0, below === 0 ? Number.NaN : above / below];
}

/** Small lengths (a paddle) and large ones (a header) in the unit that a rule or tape has in that system. */
export function lengthUnit(size: 'small' | 'large', system: UnitSystem): LengthUnit {
  if (system === 'metric') return size === 'small' ? 'mm' : 'm';
  return size === 'small' ? 'in' : 'ft';
}

/** The length in that unit, with as many digits as a rule or tape tells; the empty text for NaN. */
export function lengthText(length_m: number, unit: LengthUnit): string {
  if (!Number.isFinite(length_m)) return '';
  const { factor, digits } = SHOWN[unit];
  return String(Number(factor(length_m).toFixed(digits)));
}

const SHOWN: Readonly<Record<LengthUnit, { factor: (length_m: number) => number; digits: number }>> = {
  mm: { factor: (m) => m * 1000, digits: 1 },
  cm: { factor: (m) => m * 100, digits: 2 },
  m: { factor: (m) => m, digits: 3 },
  in: { factor: inFromM, digits: 3 },
  ft: { factor: ftFromM, digits: 2 },
};
