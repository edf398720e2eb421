/** Unit words of column mappings: one table, each word with the factor to the column's own unit. */
import type { MappedQuantity } from '../season.ts';
import {
  degFromRad,
  KG_PER_LB,
  KG_PER_SHORT_TON,
  KG_PER_TONNE,
  M_PER_FT,
  M_PER_IN,
  M_PER_MILE,
  M3_PER_L,
  mPerSFromKmh,
  mPerSFromKnots,
  mPerSFromMph,
  S_PER_HOUR,
} from '../units.ts';

/** Quantities whose cells are plain numbers that a factor turns into the column's unit. */
export type NumericQuantity = Exclude<
  MappedQuantity,
  'time' | 'date' | 'clock_time' | 'header_state' | 'field'
>;
/** Quantities whose unit word says how the cell is written. */
export type WrittenQuantity = Exclude<MappedQuantity, NumericQuantity>;

type Factors = Readonly<Record<string, number>>;

const LENGTH_M: Factors = { m: 1, cm: 0.01, mm: 0.001, km: 1000, in: M_PER_IN, ft: M_PER_FT, mi: M_PER_MILE };
const ANGLE_DEG: Factors = { deg: 1, rad: degFromRad(1) };
const S_PER_MIN = 60;
const MASS_KG: Factors = { kg: 1, g: 0.001, t: KG_PER_TONNE, lb: KG_PER_LB, ston: KG_PER_SHORT_TON };
const VOLUME_M3: Factors = { m3: 1, L: M3_PER_L, ft3: M_PER_FT ** 3 };
const TIME_S: Factors = { s: 1, ms: 0.001, min: S_PER_MIN, h: S_PER_HOUR };

/** The first word of each is the unit of the column itself, and holds where the mapping names none. */
const NUMERIC: Readonly<Record<NumericQuantity, Factors>> = {
  longitude: ANGLE_DEG,
  latitude: ANGLE_DEG,
  heading: ANGLE_DEG,
  interval: TIME_S,
  mass_flow: rates(MASS_KG),
  volume_flow: rates(VOLUME_M3),
  mass: MASS_KG,
  distance: LENGTH_M,
  swath: LENGTH_M,
  altitude: LENGTH_M,
  speed: {
    'm/s': 1,
    'km/h': mPerSFromKmh(1),
    mph: mPerSFromMph(1),
    kn: mPerSFromKnots(1),
    'ft/s': M_PER_FT,
    'in/s': M_PER_IN,
  },
  moisture: { pct: 1, fraction: 100 },
  fix_quality: { code: 1 },
};

/** `1_down`: 1 is down and 0 up, as in the tick log; `1_up` the reverse; the words up and down always serve. */
const WRITTEN: Readonly<Record<WrittenQuantity, readonly string[]>> = {
  time: ['iso', 'unix_s', 'unix_ms', 'days_1899_12_30', 'ymd', 'mdy', 'dmy'],
  date: ['iso', 'ymd', 'mdy', 'dmy', 'days_1899_12_30'],
  clock_time: ['hms', 's', 'ms', 'day_fraction'],
  header_state: ['1_down', '1_up'],
  field: ['name'],
};

/** Other spellings of the same words; capitals do not matter anywhere. */
const SPELLINGS: Readonly<Record<string, string>> = {
  '%': 'pct',
  percent: 'pct',
  degrees: 'deg',
  degree: 'deg',
  '°': 'deg',
  lbs: 'lb',
  'lbs/s': 'lb/s',
  'lb/sec': 'lb/s',
  'lbs/sec': 'lb/s',
  'kg/sec': 'kg/s',
  'kg/hr': 'kg/h',
  'lb/hr': 'lb/h',
  'lbs/h': 'lb/h',
  'lbs/hr': 'lb/h',
  't/hr': 't/h',
  'm³/s': 'm3/s',
  'm^3/s': 'm3/s',
  'ft³/s': 'ft3/s',
  'ft^3/s': 'ft3/s',
  kmh: 'km/h',
  kph: 'km/h',
  'km/hr': 'km/h',
  'mi/h': 'mph',
  knot: 'kn',
  knots: 'kn',
  kt: 'kn',
  kts: 'kn',
  feet: 'ft',
  foot: 'ft',
  inch: 'in',
  inches: 'in',
  metre: 'm',
  metres: 'm',
  meter: 'm',
  meters: 'm',
  sec: 's',
  seconds: 's',
  hr: 'h',
  hours: 'h',
};

export type UnitAnswer =
  /** `word` as the table of units has it. */
  | { readonly kind: 'factor'; readonly factor: number; readonly word: string }
  | { readonly kind: 'written'; readonly word: string }
  | { readonly kind: 'refused'; readonly why: string }
  | { readonly kind: 'unknown'; readonly known: readonly string[] };

/** What a unit word means for a quantity; without a word the column's own unit (or way of writing) holds. */
export function unitFromWord(quantity: MappedQuantity, word: string | undefined): UnitAnswer {
  const plain = word?.trim().toLowerCase() ?? '';
  const spelled = SPELLINGS[plain] ?? plain;
  if (isWritten(quantity)) {
    const known = WRITTEN[quantity];
    const found = word === undefined ? known[0] : known.find((one) => one === spelled);
    return found ? { kind: 'written', word: found } : { kind: 'unknown', known };
  }
  const factors = NUMERIC[quantity];
  const known = Object.keys(factors);
  const found = word === undefined ? known[0] : known.find((one) => one.toLowerCase() === spelled);
  if (found) return { kind: 'factor', factor: factors[found], word: found };
  if (/^bu(shels?)?\b/.test(spelled)) return { kind: 'refused', why: BUSHEL };
  if (/\/(ha|ac|acre|m2)$/.test(spelled)) return { kind: 'refused', why: PER_AREA };
  return { kind: 'unknown', known };
}

const BUSHEL =
  'a bushel is a different weight for every crop, and no longer that weight at field moisture; export the flow in lb/s or kg/s';
const PER_AREA =
  'a yield has been divided by a cut width and a distance already; map the flow (kg/s or lb/s) and the swath instead';

function isWritten(quantity: MappedQuantity): quantity is WrittenQuantity {
  return quantity in WRITTEN;
}

/** Amounts per second, hour and minute: `kg` → `kg/s`, `kg/h`, `kg/min`. */
function rates(amounts: Factors): Factors {
  const factors: Record<string, number> = {};
  for (const [per, seconds] of [
    ['s', 1],
    ['h', S_PER_HOUR],
    ['min', S_PER_MIN],
  ] as const) {
    for (const [word, factor] of Object.entries(amounts)) factors[`${word}/${per}`] = factor / seconds;
  }
  return factors;
}
