/** Whether 95 % intervals of a field's totals hold the truth as often as they say. */
import type { Interval95 } from '../../core/calibration-result.ts';
import { someWeighed } from './calibration-scenes.ts';
import { simulate } from './index.ts';
import { runSeason } from './recovery.ts';

/** Of one season: whether each interval holds the truth. */
export interface IntervalFinding {
  readonly seed: number;
  readonly loads: number;
  readonly wet: boolean;
  readonly standard: boolean;
  readonly yields: boolean;
  /** Error of the total at standard moisture over its standard error. */
  readonly standardised_error: number;
}

export function findIntervals(seed: number): IntervalFinding {
  const season = simulate(someWeighed(seed));
  const { summary } = runSeason(season);
  const [field] = summary.fields;
  const [truth] = season.truth.fields;
  const { uncertainty } = field;
  const holds = (interval: Interval95 | null | undefined, true_amount: number) =>
    interval != null && true_amount >= interval[0] && true_amount <= interval[1];
  return {
    seed,
    loads: season.truth.tickets.length,
    wet: holds(uncertainty?.mass_wet_95_kg, truth.mass_wet_kg),
    standard: holds(uncertainty?.mass_std_95_kg, truth.mass_std_kg),
    yields: holds(uncertainty?.mean_yield_95_t_ha, (10 * truth.mass_std_kg) / truth.area_m2),
    standardised_error: (field.mass_std_kg - truth.mass_std_kg) / (uncertainty?.mass_std_se_kg ?? Number.NaN),
  };
}

/** Share of the seasons in which each interval holds the truth, %, and the root mean square of the standardised error. */
export function intervalTotals(findings: readonly IntervalFinding[]) {
  const share = (of: (finding: IntervalFinding) => boolean) =>
    (100 * findings.filter(of).length) / findings.length;
  const squares = findings.reduce((sum, { standardised_error }) => sum + standardised_error ** 2, 0);
  return {
    seasons: findings.length,
    wet_pct: share(({ wet }) => wet),
    standard_pct: share(({ standard }) => standard),
    yields_pct: share(({ yields }) => yields),
    rms_standardised_error: Math.sqrt(squares / findings.length),
  };
}
