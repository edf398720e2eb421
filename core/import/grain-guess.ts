/** Which columns hold flow, moisture and cut width, in which unit: by heading, range, and the yield that would come of it. */
import { median } from '../stats/quantiles.ts';
import { KG_PER_LB, M2_PER_ACRE, M2_PER_HA } from '../units.ts';
import { type ColumnGuess, guessOf, named } from './column-guess.ts';
import type { ColumnProfile } from './column-profile.ts';
import { topicFit, unitOfHeader } from './header-words.ts';
import { factorOf, namedUnit, type UnitFamily } from './unit-guess.ts';

/** What is known of the rows by the time that grain is looked for. */
export interface WorkOfRows {
  readonly family: UnitFamily;
  /** Metres cut wide; NaN where unknown. */
  readonly swath_m: Float64Array;
  /** Metres gone on in the row. */
  readonly distance_m: Float64Array;
  readonly interval_s: Float64Array;
  /** Distance between neighbouring passes, NaN when it could not be told. */
  readonly spacing_m: number;
  /** A column of yields, with what its heading says about the unit. */
  readonly yields?: { readonly profile: ColumnProfile; readonly kg_m2: readonly YieldUnit[] };
}

export interface YieldUnit {
  readonly word: string;
  /** kg/m² of one of it. */
  readonly factor: number;
}

/** Cut widths of headers in use, m. Common practice, no source. */
const WIDTH_M = { least: 1.2, most: 18.5 };
/** Field means from a drought-stricken pulse crop to the best corn, kg/m² (0.3 to 22 t/ha); common practice, no source. */
const YIELD_KG_M2 = { least: 0.03, most: 2.2 };

export function guessMoisture(profile: ColumnProfile): ColumnGuess[] {
  if (profile.numberShare < 0.9 || profile.distinct < 2) return [];
  const fit = topicFit(profile.words, 'moisture');
  const { middle, least, most } = profile;
  const shown = `${least} to ${most}, mostly about ${middle}`;
  if (middle >= 5 && middle <= 40 && least >= 0 && most <= 100) {
    // degrees, speeds and widths have such numbers, too
    const confidence = fit > 0 ? 0.75 + 0.24 * fit : 0.25;
    return [
      guessOf(profile, 'moisture', 'pct', confidence, `numbers of grain moisture in percent (${shown}).`),
    ];
  }
  if (fit > 0 && middle >= 0.05 && middle <= 0.4 && most <= 1) {
    return [
      guessOf(profile, 'moisture', 'fraction', 0.7 + 0.24 * fit, `moisture as a fraction of 1 (${shown}).`),
    ];
  }
  return [];
}

export function guessSwath(profile: ColumnProfile, family: UnitFamily, spacing_m: number): ColumnGuess[] {
  if (profile.numberShare < 0.9 || !(profile.least >= 0)) return [];
  const fit = topicFit(profile.words, 'swath');
  const wide = profile.numbers.filter((width) => width > 0);
  // a header is as wide as it is: most rows hold the full width
  const full = median(wide);
  const heading = namedUnit(profile, 'swath');
  const units = (heading === undefined ? ['m', 'ft', 'in', 'cm', 'mm'] : [heading]).map((unit) => {
    const width_m = full * factorOf('swath', unit);
    const fits = width_m >= WIDTH_M.least && width_m <= WIDTH_M.most;
    const beside = Number.isNaN(spacing_m) ? Number.NaN : Math.abs(Math.log(width_m / spacing_m));
    const ofFamily = isOf(unit, family);
    return { unit, width_m, score: fits ? (beside < 0.25 ? 4 : beside >= 0.25 ? 0.4 : 1) * ofFamily : 0 };
  });
  units.sort((a, b) => b.score - a.score);
  const [best, next] = units;
  if (best.score === 0) return [];
  const constant = profile.distinct <= 12;
  if (fit === 0 && !(constant && best.score >= 4)) return [];
  const clear = next === undefined ? 1 : best.score / (best.score + next.score);
  const confidence = (fit > 0 ? 0.72 + 0.25 * fit : 0.45) * (0.6 + 0.4 * clear);
  const beside =
    best.score >= 4 && !Number.isNaN(spacing_m) ? `, passes lie ${spacing_m.toFixed(1)} m apart` : '';
  const reason = `${full} ${best.unit} is ${best.width_m.toFixed(2)} m, as wide as a header${beside}.`;
  return [guessOf(profile, 'swath', best.unit, confidence, reason)];
}

const FLOW_UNITS = ['kg/s', 'lb/s', 't/h', 'kg/h', 'lb/h', 'kg/min', 'lb/min'] as const;
const VOLUME_UNITS = ['L/s', 'm3/s', 'm3/h', 'L/min', 'ft3/s'] as const;
const MASS_UNITS = ['kg', 'lb', 'g', 't'] as const;
/** A litre of grain weighs some 0.7 kg (wheat 0.77, oats 0.41: bulk density of `crops.ts`). */
const GRAIN_KG_M3 = 700;

/** Flow per time, volume per time, or grain per row. */
export function guessGrain(profile: ColumnProfile, work: WorkOfRows): ColumnGuess[] {
  if (profile.numberShare < 0.9 || profile.distinct < 5 || !(profile.most > 0)) return [];
  if (topicFit(profile.words, 'yield') > 0) return [];
  const negative = profile.numbers.filter((number) => number < 0).length;
  if (negative > 0.2 * profile.numbers.length) return [];
  return [
    ...asAmount(profile, work, 'mass_flow', FLOW_UNITS, 1),
    ...asAmount(profile, work, 'volume_flow', VOLUME_UNITS, GRAIN_KG_M3),
    ...asAmount(profile, work, 'mass', MASS_UNITS, 1),
  ].sort((a, b) => b.confidence - a.confidence);
}

function asAmount(
  profile: ColumnProfile,
  work: WorkOfRows,
  quantity: 'mass_flow' | 'volume_flow' | 'mass',
  units: readonly string[],
  kg_each: number,
): ColumnGuess[] {
  const fit = topicFit(profile.words, quantity);
  const said = unitOfHeader(profile.words, quantity);
  const unitSaid = said !== undefined && 'unit' in said ? said.unit : bareMassUnit(profile, quantity);
  if (said !== undefined && 'refused' in said) return [];
  // a volume or a mass without a word for it is guesswork: flow is what logs hold
  if (fit === 0 && (quantity !== 'mass_flow' || (unitSaid === undefined && hasWords(profile)))) return [];
  const judged = (unitSaid === undefined ? units : [unitSaid]).map((unit) =>
    judge(profile, work, quantity, unit, kg_each),
  );
  judged.sort((a, b) => b.score - a.score);
  const [best, next] = judged;
  if (best.score === 0) {
    return unitSaid !== undefined && fit > 0 && Number.isNaN(best.yield_kg_m2)
      ? [
          guessOf(
            profile,
            quantity,
            unitSaid,
            0.55 + 0.3 * fit,
            `${words(quantity)} in ${unitSaid} by its heading.`,
          ),
        ]
      : [];
  }
  const clear = next === undefined ? 1 : best.score / (best.score + next.score);
  const base = fit > 0 ? 0.7 + 0.27 * fit : unitSaid === undefined ? 0.3 : 0.6;
  const confidence = base * (unitSaid === undefined ? 0.35 + 0.65 * clear : 1);
  const heading = unitSaid === undefined ? '' : ', as its heading says';
  return [
    guessOf(
      profile,
      quantity,
      best.unit,
      confidence,
      `${words(quantity)} in ${best.unit}${heading}: ${best.why}.`,
    ),
  ];
}

interface Judged {
  readonly unit: string;
  readonly score: number;
  readonly yield_kg_m2: number;
  readonly why: string;
}

/** How likely the unit is: by the yield that comes of it, by the table's own yields, by the family of the other units. */
function judge(
  { numbers }: ColumnProfile,
  work: WorkOfRows,
  quantity: 'mass_flow' | 'volume_flow' | 'mass',
  unit: string,
  kg_each: number,
): Judged {
  const factor = factorOf(quantity, unit) * kg_each;
  const per_m2 = Float64Array.from(numbers, (number, i) => {
    const mass_kg = number * factor * (quantity === 'mass' ? 1 : work.interval_s[i]);
    const area_m2 = work.swath_m[i] * work.distance_m[i];
    return number > 0 && area_m2 > 0 ? mass_kg / area_m2 : Number.NaN;
  });
  const yield_kg_m2 = median(per_m2);
  const family = isOf(unit, work.family);
  if (Number.isNaN(yield_kg_m2)) {
    // no area to divide by: a rate that an elevator can carry
    const rate = median(numbers.filter((number) => number > 0)) * factor;
    const fits = quantity === 'mass' || (rate >= 0.3 && rate <= 45);
    return {
      unit,
      score: fits ? 0.5 * family : 0,
      yield_kg_m2,
      why: `${rate.toPrecision(2)} kg/s is a rate that an elevator carries`,
    };
  }
  const t_ha = (yield_kg_m2 * M2_PER_HA) / 1000;
  if (yield_kg_m2 < YIELD_KG_M2.least || yield_kg_m2 > YIELD_KG_M2.most)
    return { unit, score: 0, yield_kg_m2, why: '' };
  const match = yieldMatch(per_m2, work);
  if (match !== undefined) {
    return { unit, score: 40, yield_kg_m2, why: `it makes the yields in ${match}` };
  }
  // the usual harvests lie between 2 and 15 t/ha
  const usual = yield_kg_m2 >= 0.2 && yield_kg_m2 <= 1.5 ? 1 : 0.4;
  return {
    unit,
    score: usual * family,
    yield_kg_m2,
    why: `with distance and width it makes ${t_ha.toFixed(1)} t/ha`,
  };
}

/** Name of the yield column whose cells these yields are, but for moisture and the crop's bushel; undefined for none. */
function yieldMatch(per_m2: Float64Array, { yields }: WorkOfRows): string | undefined {
  if (yields === undefined) return undefined;
  const { profile, kg_m2 } = yields;
  const fits = kg_m2.flatMap(({ factor, word }) => {
    const ratio = median(per_m2.map((wet_kg_m2, i) => wet_kg_m2 / (profile.numbers[i] * factor)));
    // brought to market moisture a yield is up to a fifth lower
    return ratio > 0.96 && ratio < 1.2 ? [{ word, miss: Math.abs(Math.log(ratio)) }] : [];
  });
  if (fits.length === 0) return undefined;
  const best = fits.reduce((a, b) => (b.miss < a.miss ? b : a));
  return `${named(profile)} (${best.word})`;
}

/** Of wheat, corn and barley (`grain/crops.ts`); lighter ones would leave room for taking kilograms for pounds. */
const BUSHELS_LB = [60, 56, 48] as const;

/** Units of a yield column: those that its heading names, else bushels of the common weights and tonnes. */
export function yieldUnits(profile: ColumnProfile): YieldUnit[] {
  const bushels = BUSHELS_LB.map((bushel_lb) => ({
    word: `bushels of ${bushel_lb} lb per acre`,
    factor: (bushel_lb * KG_PER_LB) / M2_PER_ACRE,
  }));
  const named: Readonly<Record<string, YieldUnit>> = {
    't/ha': { word: 't/ha', factor: 1000 / M2_PER_HA },
    'kg/ha': { word: 'kg/ha', factor: 1 / M2_PER_HA },
    'lb/ac': { word: 'lb/ac', factor: KG_PER_LB / M2_PER_ACRE },
    'lbs/ac': { word: 'lb/ac', factor: KG_PER_LB / M2_PER_ACRE },
  };
  const found = profile.words.unitTexts.map((text) => named[text]).find((unit) => unit !== undefined);
  if (found !== undefined) return [found];
  if (profile.words.unitTexts.some((text) => /bu/.test(text))) return bushels;
  return [...Object.values(named), ...bushels];
}

/** `flw_lbs`: pounds in the heading of a flow are pounds a second. */
function bareMassUnit(profile: ColumnProfile, quantity: string): string | undefined {
  if (quantity !== 'mass_flow') return undefined;
  const last = profile.words.tokens.at(-1) ?? '';
  return /^lbs?$/.test(last) ? 'lb/s' : last === 'kg' ? 'kg/s' : undefined;
}

/** Whether the heading speaks of something, which then is no flow. */
function hasWords(profile: ColumnProfile): boolean {
  return profile.words.tokens.some((token) => token.length > 1);
}

function isOf(unit: string, family: UnitFamily): number {
  if (family === 'unknown') return 1;
  const us = /^(lb|in|ft|mi|mph)/.test(unit);
  return us === (family === 'us') ? 3 : 0.5;
}

function words(quantity: 'mass_flow' | 'volume_flow' | 'mass'): string {
  return { mass_flow: 'flow of grain', volume_flow: 'volume of grain', mass: 'grain of each row' }[quantity];
}
