/** Units told from numbers: which factor fits a ratio, and which family of units a table is written in. */
import { unitFromWord } from '../read/unit-words.ts';
import type { MappedQuantity } from '../season.ts';
import type { ColumnProfile } from './column-profile.ts';
import { unitOfHeader } from './header-words.ts';

/** `us`: inches, feet, pounds; `metric`: metres, kilograms. */
export type UnitFamily = 'us' | 'metric' | 'unknown';

export interface UnitFit {
  readonly unit: string;
  /** How far the ratio is from the unit's factor, as a share; 0 fits exactly. */
  readonly miss: number;
}

/** A measured factor further than this from every unit's is none of them. Units of length and speed lie 9 % and more apart. */
const MOST_MISS = 0.12;

/** The unit among `units` whose factor to SI is nearest to `factor`; undefined when none is near. */
export function nearestUnit(
  quantity: MappedQuantity,
  units: readonly string[],
  factor: number,
): UnitFit | undefined {
  let best: UnitFit | undefined;
  for (const unit of units) {
    const miss = Math.abs(Math.log(factor / factorOf(quantity, unit)));
    if (miss < MOST_MISS && !(best !== undefined && best.miss <= miss)) best = { unit, miss };
  }
  return best;
}

/** Factor of a unit word to SI. @throws RangeError for a word that is no unit of the quantity. */
export function factorOf(quantity: MappedQuantity, unit: string): number {
  const answer = unitFromWord(quantity, unit);
  if (answer.kind !== 'factor') throw new RangeError(`"${unit}" is no unit of ${quantity}.`);
  return answer.factor;
}

const US =
  /^(in|inch(es)?|ft|feet|foot|mi|mph|lbs?|lbs?\/.*|ft\/s|in\/s|ac|acres?|bu|bu\/.*|ft3\/.*|.*\/ac)$/;
const METRIC = /^(m|cm|mm|km|kg|t|kg\/.*|t\/.*|km\/h|kmh|kph|m\/s|l\/.*|ha|.*\/ha)$/i;

/** Which family the units named in the headings belong to, `hints` being those already found from numbers. */
export function unitFamily(columns: readonly ColumnProfile[], hints: readonly string[]): UnitFamily {
  let us = 0;
  let metric = 0;
  const see = (unit: string) => {
    if (US.test(unit)) us++;
    else if (METRIC.test(unit)) metric++;
  };
  for (const { words } of columns) {
    const named = words.unitTexts.find((text) => US.test(text) || METRIC.test(text));
    // a single letter may be anything: z_m is metres, but so is the m of "m"
    if (named !== undefined && words.tokens.length + words.unitTexts.length > 2) see(named);
  }
  for (const hint of hints) {
    see(hint);
    see(hint);
  }
  return us > metric ? 'us' : metric > us ? 'metric' : 'unknown';
}

/** The unit that the heading names, if it is one of the quantity's factors. */
export function namedUnit(profile: ColumnProfile, quantity: MappedQuantity): string | undefined {
  const said = unitOfHeader(profile.words, quantity);
  return said !== undefined && 'unit' in said ? said.unit : undefined;
}
