/** Whether standard errors of single points are as large as the errors that they have. */
import { interpolate } from '../../core/columns.ts';
import type { SeasonResult } from '../../core/result.ts';
import { STEP_S } from './drive.ts';
import type { SimulatedSeason } from './index.ts';

/** Root mean squares over the kept points of the first field's first machine, % of the point. */
export interface PointErrors {
  readonly points: number;
  /** Of the wet mass of the point against what was cut in its time. */
  readonly true_pct: number;
  /** Of the yield as the point states it: with moisture and width besides. */
  readonly stated_pct: number;
}

export function pointErrors(season: SimulatedSeason, result: SeasonResult): PointErrors {
  const [points] = result.points;
  const [{ cut_kg, log_start_utc_s }] = season.truth.fields[0].machines;
  const knots_s = Float64Array.from(cut_kg, (_, k) => k * STEP_S + log_start_utc_s - result.epoch_utc_s);
  let count = 0;
  let true_squares = 0;
  let stated_squares = 0;
  for (let i = 0; i < points.t_s.length; i++) {
    if (points.screened_by[i] !== 0 || points.machine[i] !== 0) continue;
    const from_s = points.t_s[i] - points.duration_s[i] / 2;
    const true_kg =
      interpolate(knots_s, cut_kg, from_s + points.duration_s[i]) - interpolate(knots_s, cut_kg, from_s);
    if (!(true_kg > 0)) continue;
    count++;
    true_squares += (points.mass_kg[i] / true_kg - 1) ** 2;
    stated_squares += (points.yield_se_kg_m2[i] / points.yield_kg_m2[i]) ** 2;
  }
  const rms_pct = (squares: number) => 100 * Math.sqrt(squares / count);
  return { points: count, true_pct: rms_pct(true_squares), stated_pct: rms_pct(stated_squares) };
}
