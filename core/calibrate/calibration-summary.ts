import type { Interval95 } from '../calibration-result.ts';
import { finiteOrNull } from '../columns.ts';
import type { CalibrationSummary, LoadSummary } from '../result.ts';
import { KG_M3_PER_KG_HL } from '../units.ts';
import type { LoadFitRow, LoadFitSolution } from './load-fit.ts';

/** A load fit as summary.json names it; numbers that do not exist become null, and coefficients that do not, absent. */
export function calibrationSummary(
  solution: LoadFitSolution,
  machine: string,
  crop: string,
  group?: string,
): CalibrationSummary {
  const { model, k, zero_kg_s, curvature, moisture, test_weight, covariance } = solution;
  const coefficients = {
    k,
    ...(model === 'gain_zero' && { zero_kg_s }),
    ...(model === 'gain_curvature' && { curvature }),
    ...(model === 'gain_moisture' && { moisture }),
    ...(test_weight !== undefined && { test_weight }),
  };
  const errors = {
    k: Math.sqrt(covariance[0]),
    ...(model === 'gain_zero' && { zero_kg_s: Math.sqrt(covariance[5]) }),
    ...(model === 'gain_curvature' && { curvature: Math.sqrt(covariance[10]) }),
    ...(model === 'gain_moisture' && { moisture: Math.sqrt(covariance[15]) }),
    ...(test_weight !== undefined && { test_weight: Math.sqrt(covariance[15]) }),
  };
  return {
    machine,
    crop,
    ...(group !== undefined && { group }),
    model,
    coefficients,
    standard_errors: Object.fromEntries(Object.entries(errors).filter(([, error]) => Number.isFinite(error))),
    r2: finiteOrNull(solution.r2),
    fit_rmse_pct: finiteOrNull(solution.fit_rmse_pct),
    loo_rmse_pct: finiteOrNull(solution.loo_rmse_pct),
    loads: solution.rows.map(loadSummary),
  };
}

function expectedInterval({ expected_kg, expected_half_width_kg }: LoadFitRow): Interval95 | null {
  const known = Number.isFinite(expected_kg) && Number.isFinite(expected_half_width_kg);
  return known ? [expected_kg - expected_half_width_kg, expected_kg + expected_half_width_kg] : null;
}

function loadSummary(row: LoadFitRow): LoadSummary {
  return {
    ticket: row.load.ticket,
    scale_kg: row.load.scale_kg,
    predicted_kg: finiteOrNull(row.predicted_kg),
    error_pct: finiteOrNull(row.error_pct),
    loo_error_pct: finiteOrNull(row.loo_error_pct),
    studentised_residual: finiteOrNull(row.studentised_residual),
    used: row.used,
    flagged: row.flagged,
    why: row.why,
    mean_flow_kg_s: finiteOrNull(row.load.mean_flow_kg_s),
    leverage: finiteOrNull(row.leverage),
    cooks_distance: finiteOrNull(row.cooks_distance),
    expected_95_kg: expectedInterval(row),
    moisture_pct: finiteOrNull(row.load.moisture_pct),
    test_weight_kg_hl: row.load.tickets.some(({ bulk_density_kg_m3 }) => bulk_density_kg_m3 > 0)
      ? finiteOrNull(row.load.bulk_density_kg_m3 / KG_M3_PER_KG_HL)
      : null,
  };
}
