/**
 * The chain's signature from a short run: slots folded modulo the number of paddles tell which place is bent, worn, missing
 * or double; that number itself shows as the lag at which the row of slots is most like itself.
 */
import { lowerBound } from '../columns.ts';
import { median, scaledMad } from '../stats/quantiles.ts';
import type { SlotStretch, SteadyRunning } from './chain-slots.ts';

export interface OddPlace {
  /** From 0, counted from the first paddle of the longest stretch. */
  readonly place: number;
  readonly kind: 'longer' | 'shorter' | 'missing' | 'double';
  /** What it adds to the dark share; NaN for missing and double ones. */
  readonly extra_dark: number;
}

export interface ChainPlaces {
  /** Places on the chain that were folded by. */
  readonly count: number;
  readonly odd: readonly OddPlace[];
  readonly revolutions: number;
  /** Median dark share by place; NaN where missing. */
  readonly dark_by_place: Float64Array;
  /** How alike the row is to itself one round later, −1..1. */
  readonly likeness: number;
}

export interface Folding {
  readonly places: ChainPlaces | undefined;
  /** Number of paddles that the row itself shows; undefined where paddles are too alike. */
  readonly found_count: number | undefined;
  /** Scatter of the dark share that no place explains, robust. */
  readonly dark_scatter: number;
  /** Median dark share of all paddles. */
  readonly dark_median: number;
  /** Slots that were empty without being so every round. */
  readonly irregular: number;
  readonly slots: number;
}

const FEWEST_PLACES = 15;
const MOST_PLACES = 200;
/** A place is missing or double when it is in so many of the rounds. */
const MOST_ROUNDS = 0.6;
const FEWEST_ROUNDS = 3;
/** A row is like itself at this lag … */
const ALIKE = 0.45;
/** … and of several such lags (2, 3 … rounds) the first that comes near the best. */
const NEAR_BEST = 0.8;
/** Off the usual by so many standard errors and mm·pitch⁻¹: see `foldSlots`. */
const ODD_STANDARD_ERRORS = 6;
/** A blip so near to where a paddle ought to be, in periods, is that paddle. */
const SLOT_SHARE = 0.2;
/** Weight of an empty slot or an extra paddle in the likeness, in robust deviations. */
const STARK = 6;

/**
 * `odd_dark` is the smallest change of the dark share that counts; `count` from the sheet, where it is known; `blips_s` are
 * dark blips that were dropped, ascending: a slot that holds one was seen, if badly.
 */
export function foldSlots(
  running: SteadyRunning,
  count: number | undefined,
  odd_dark: number,
  blips_s: Float64Array,
): Folding {
  const longest = running.stretches.reduce<SlotStretch | undefined>(
    (most, one) => (most === undefined || one.dark.length > most.dark.length ? one : most),
    undefined,
  );
  const dark_median = median(running.stretches.flatMap(({ dark }) => [...dark]));
  const slots = running.stretches.reduce((sum, { dark }) => sum + dark.length, 0);
  if (longest === undefined || longest.dark.length < FEWEST_PLACES)
    return {
      places: undefined,
      found_count: undefined,
      dark_scatter: Number.NaN,
      dark_median,
      irregular: 0,
      slots,
    };
  const marks = starkness(longest, dark_median);
  const found_count = bestLag(marks, count);
  const by = found_count ?? count;
  const places =
    by !== undefined && longest.dark.length >= FEWEST_ROUNDS * by
      ? fold(longest, by, dark_median, odd_dark, likenessAt(marks, by))
      : undefined;
  return {
    places,
    found_count,
    dark_scatter: scatterOf(running.stretches, longest, places),
    dark_median,
    irregular: irregularGaps(running, longest, places, blips_s),
    slots,
  };
}

function starkness({ dark, extra }: SlotStretch, dark_median: number): Float64Array {
  const spread = scaledMad(dark, dark_median);
  return dark.map((d, k) => {
    if (extra[k] === 1) return STARK;
    if (Number.isNaN(d)) return -STARK;
    return spread > 0 ? Math.max(-4, Math.min(4, (d - dark_median) / spread)) : 0;
  });
}

/** Correlation of the row with itself `lag` slots later. */
function likenessAt(marks: Float64Array, lag: number): number {
  let product = 0;
  let before = 0;
  let after = 0;
  for (let k = 0; k + lag < marks.length; k++) {
    product += marks[k] * marks[k + lag];
    before += marks[k] ** 2;
    after += marks[k + lag] ** 2;
  }
  return before > 0 && after > 0 ? product / Math.sqrt(before * after) : 0;
}

/** Rounds of the chain as the row shows them; the sheet's own number is preferred where it does nearly as well. */
function bestLag(marks: Float64Array, count: number | undefined): number | undefined {
  const most = Math.min(MOST_PLACES, Math.floor(marks.length / FEWEST_ROUNDS));
  let best = 0;
  for (let lag = FEWEST_PLACES; lag <= most; lag++) best = Math.max(best, likenessAt(marks, lag));
  if (best < ALIKE) return undefined;
  if (count !== undefined && count <= most && likenessAt(marks, count) >= NEAR_BEST * best) return count;
  for (let lag = FEWEST_PLACES; lag <= most; lag++)
    if (likenessAt(marks, lag) >= NEAR_BEST * best) return lag;
  return undefined;
}

function fold(
  { dark, extra }: SlotStretch,
  count: number,
  dark_median: number,
  odd_dark: number,
  likeness: number,
): ChainPlaces {
  const seen: number[][] = Array.from({ length: count }, () => []);
  const missing = new Float64Array(count);
  const doubled = new Float64Array(count);
  const rounds = new Float64Array(count);
  dark.forEach((d, k) => {
    const place = k % count;
    rounds[place]++;
    doubled[place] += extra[k];
    if (Number.isNaN(d)) missing[place]++;
    else seen[place].push(d);
  });
  const medians = Float64Array.from(seen, (darks) => median(darks));
  const noise = median(seen.map((darks, place) => scaledMad(darks, medians[place])));
  const odd: OddPlace[] = [];
  for (let place = 0; place < count; place++) {
    if (missing[place] >= MOST_ROUNDS * rounds[place]) {
      odd.push({ place, kind: 'missing', extra_dark: Number.NaN });
      continue;
    }
    if (doubled[place] >= MOST_ROUNDS * rounds[place])
      odd.push({ place, kind: 'double', extra_dark: Number.NaN });
    const extra_dark = medians[place] - dark_median;
    const standardError = (1.2533 * noise) / Math.sqrt(seen[place].length);
    if (Math.abs(extra_dark) >= Math.max(odd_dark, ODD_STANDARD_ERRORS * standardError))
      odd.push({ place, kind: extra_dark > 0 ? 'longer' : 'shorter', extra_dark });
  }
  return { count, odd, revolutions: dark.length / count, dark_by_place: medians, likeness };
}

function scatterOf(
  stretches: readonly SlotStretch[],
  longest: SlotStretch,
  places: ChainPlaces | undefined,
): number {
  if (places === undefined) return scaledMad(stretches.flatMap(({ dark }) => [...dark]));
  return scaledMad(
    longest.dark.map((d, k) => d - places.dark_by_place[k % places.count]),
    0,
  );
}

/** Empty slots in a row count once: they are one interruption. */
function irregularGaps(
  { stretches, period_s }: SteadyRunning,
  longest: SlotStretch,
  places: ChainPlaces | undefined,
  blips_s: Float64Array,
): number {
  const isMissing = new Set(places?.odd.filter(({ kind }) => kind === 'missing').map(({ place }) => place));
  let gaps = 0;
  for (const stretch of stretches) {
    let inGap = false;
    let expected_s = Number.NaN;
    stretch.dark.forEach((d, k) => {
      expected_s = Number.isNaN(stretch.t_s[k]) ? expected_s + period_s : stretch.t_s[k];
      const known = stretch === longest && places !== undefined && isMissing.has(k % places.count);
      const empty = Number.isNaN(d) && !known && !holdsBlip(blips_s, expected_s, SLOT_SHARE * period_s);
      if (empty && !inGap) gaps++;
      inGap = empty;
    });
  }
  return gaps;
}

function holdsBlip(blips_s: Float64Array, at_s: number, within_s: number): boolean {
  const k = lowerBound(blips_s, at_s - within_s);
  return k < blips_s.length && blips_s[k] <= at_s + within_s;
}
