/** Errors of loads against something else of them: which there is to choose, where each load stands, how far the axis goes. */
import type { ResidualSlope } from '../../core/calibration-result.ts';
import type { CalibrationSummary, LoadSpan, LoadSummary } from '../../core/result.ts';
import { decimal } from '../text/quantities.ts';

export type ResidualAgainst = ResidualSlope['against'];

export const AGAINST_WORDS: Readonly<Record<ResidualAgainst, string>> = {
  flow_kg_s: 'flow',
  time_d: 'time',
  moisture_pct: 'moisture',
  test_weight_kg_hl: 'test weight',
};

export interface Residual {
  readonly load: LoadSummary;
  readonly at: number;
  /** Beam over scale less one, %. */
  readonly error_pct: number;
}

const S_PER_DAY = 86_400;
/** The least reach of the axis of errors, %. */
const LEAST_REACH_PCT = 1;

/** Loads that have both an error and the quantity; `time_d` counts days from the first load's start. */
export function residualsAgainst(
  { loads }: Pick<CalibrationSummary, 'loads'>,
  against: ResidualAgainst,
  spans: readonly LoadSpan[],
): readonly Residual[] {
  const starts = new Map(spans.map(({ ticket, start_s }) => [ticket, start_s]));
  const own = loads.flatMap(({ ticket }) => starts.get(ticket) ?? []);
  const first_s = Math.min(...own);
  return loads.flatMap((load) => {
    const start_s = starts.get(load.ticket);
    const at = {
      flow_kg_s: load.mean_flow_kg_s,
      time_d: start_s === undefined ? null : (start_s - first_s) / S_PER_DAY,
      moisture_pct: load.moisture_pct,
      test_weight_kg_hl: load.test_weight_kg_hl,
    }[against];
    if (at === null || at === undefined || load.error_pct === null) return [];
    return [{ load, at, error_pct: load.error_pct }];
  });
}

/**
 * Half of the axis of errors, %: it holds the loads in use and the band, so that one wrong ticket does not flatten all
 * others; what lies beyond is drawn at its edge.
 */
export function reachOf(residuals: readonly Residual[], band_pct: number | null): number {
  const used = residuals.filter(({ load }) => load.used).map(({ error_pct }) => Math.abs(error_pct));
  return 1.25 * Math.max(LEAST_REACH_PCT, band_pct ?? 0, ...used);
}

/** Two-sided p below which a slope is said to be beyond chance. */
export const TELLING_P = 0.05;

const EACH_WORDS: Readonly<Record<ResidualAgainst, string>> = {
  flow_kg_s: 'kg/s of flow',
  time_d: 'day',
  moisture_pct: 'point of moisture',
  test_weight_kg_hl: 'kg/hL of test weight',
};

/** What the errors do along the quantity, in a sentence. */
export function slopeWords(slopes: readonly ResidualSlope[], against: ResidualAgainst): string {
  const slope = slopes.find((one) => one.against === against);
  if (slope === undefined)
    return `Too few loads, or too alike, to tell a trend with ${AGAINST_WORDS[against]}.`;
  if (!(slope.p < TELLING_P))
    return `No trend with ${AGAINST_WORDS[against]} beyond chance (p = ${decimal(slope.p, 2)}).`;
  const size = decimal(Math.abs(slope.slope_pct), 2);
  const more = slope.slope_pct > 0 ? 'more' : 'less';
  return `The scale says ${size} % ${more} than the beam for each ${EACH_WORDS[against]} more (± ${decimal(slope.se_pct, 2)}): beyond chance (p ${pWords(slope.p)}).`;
}

function pWords(p: number): string {
  return p < 0.001 ? '< 0.001' : `= ${decimal(p, 3)}`;
}

/** The likely mistake in a few words, for beside a mark: `two digits swapped?`; empty when none is named. */
export function likelyMistake(why: string): string {
  const found = /(?:Perhaps|Likely:)(?: on one of its tickets:)? ([^;.]+)/.exec(why)?.[1];
  return found === undefined ? '' : `${found}?`;
}
