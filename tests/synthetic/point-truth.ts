/** Whether standard errors of points and of map cells are as large as the errors that they have. */
import { interpolate } from '../../core/columns.ts';
import { moistureFactor } from '../../core/grain/moisture.ts';
import type { FieldPoints, SeasonResult } from '../../core/result.ts';
import { cellAt } from '../../core/surface/cell-grid.ts';
import { surfaceCells } from '../../core/surface/surface-cells.ts';
import { planSurface } from '../../core/surface/surface-plan.ts';
import type { SurfaceSheet } from '../../core/surface/surface-sheet.ts';
import { BLOCK_SIDE_M, blockFrame } from './block-frame.ts';
import { STEP_S } from './drive.ts';
import type { SimulatedSeason } from './index.ts';
import type { FieldMachineTruth, FieldTruth } from './season-truth.ts';

/** Root mean squares over the first field, % of the true yield. */
export interface StatedErrors {
  readonly count: number;
  readonly true_pct: number;
  readonly stated_pct: number;
}

/**
 * Yield of every kept point at standard moisture against what was cut in its time: mass over fresh ground, so that rows
 * of the simulator's raster that fall to one second or the next do not count as errors.
 */
export function pointErrors(season: SimulatedSeason, result: SeasonResult): StatedErrors {
  const [points] = result.points;
  const [field] = season.truth.fields;
  const truths = field.machines.map((machine) =>
    cutBetween(machine, result.epoch_utc_s, field.standard_moisture_pct),
  );
  const found = new ErrorSums();
  for (let i = 0; i < points.t_s.length; i++) {
    if (points.screened_by[i] !== 0) continue;
    const from_s = points.t_s[i] - points.duration_s[i] / 2;
    const { mass_kg, area_m2 } = truths[points.machine[i]](from_s, from_s + points.duration_s[i]);
    if (mass_kg > 0 && area_m2 > 0)
      found.add(points.yield_kg_m2[i], points.yield_se_kg_m2[i], mass_kg / area_m2);
  }
  return found.errors();
}

/** Cells of the surface, 10 m or a multiple wide, that were cut for the most part. */
export function cellErrors(
  season: SimulatedSeason,
  result: SeasonResult,
  sheet: SurfaceSheet = {},
): StatedErrors {
  const [field] = season.truth.fields;
  const cell_m = sheet.cell_m ?? BLOCK_SIDE_M;
  const plan = planSurface(inFrameOf(field, result.points[0]), [], { ...sheet, cell_m });
  if (!plan.ok) throw new Error(plan.error.text);
  const { grid, cells } = plan.value;
  const made = surfaceCells(plan.value);
  const truth = new Map<number, { area_m2: number; mass_kg: number }>();
  const { east_m, north_m, cut_area_m2, mass_std_kg } = field.blocks_10m;
  for (let k = 0; k < cut_area_m2.length; k++) {
    const at = cellAt(grid, east_m[k], north_m[k]);
    const sum = truth.get(at) ?? { area_m2: 0, mass_kg: 0 };
    sum.area_m2 += cut_area_m2[k];
    sum.mass_kg += mass_std_kg[k];
    truth.set(at, sum);
  }
  const found = new ErrorSums();
  for (let k = 0; k < cells.length; k++) {
    const { area_m2, mass_kg } = truth.get(cells[k]) ?? { area_m2: 0, mass_kg: 0 };
    if (area_m2 >= MOSTLY * cell_m ** 2 && Number.isFinite(made.yield_se_kg_m2[k]))
      found.add(made.yield_kg_m2[k], made.yield_se_kg_m2[k], mass_kg / area_m2);
  }
  return found.errors();
}

/** A cell at the field's edge estimates ground that was never cut. */
const MOSTLY = 0.95;

class ErrorSums {
  #count = 0;
  #true = 0;
  #stated = 0;

  add(shown: number, se: number, truth: number): void {
    this.#count++;
    this.#true += (shown / truth - 1) ** 2;
    this.#stated += (se / truth) ** 2;
  }

  errors(): StatedErrors {
    const rms_pct = (squares: number) => 100 * Math.sqrt(squares / this.#count);
    return { count: this.#count, true_pct: rms_pct(this.#true), stated_pct: rms_pct(this.#stated) };
  }
}

/** Mass at standard moisture and fresh ground of one machine between two moments of the season. */
function cutBetween(truth: FieldMachineTruth, epoch_utc_s: number, standard_pct: number) {
  const { cut_dry_kg, fresh_m2_by_s, log_start_utc_s } = truth;
  const start_s = log_start_utc_s - epoch_utc_s;
  const steps_s = Float64Array.from(cut_dry_kg, (_, k) => start_s + k * STEP_S);
  const ground_m2 = new Float64Array(fresh_m2_by_s.length + 1);
  for (let s = 0; s < fresh_m2_by_s.length; s++) ground_m2[s + 1] = ground_m2[s] + fresh_m2_by_s[s];
  const seconds_s = Float64Array.from(ground_m2, (_, s) => start_s + s);
  // dry matter is grain at 0 %
  const fromDry = moistureFactor(0, standard_pct);
  return (from_s: number, to_s: number) => ({
    mass_kg: fromDry * (interpolate(steps_s, cut_dry_kg, to_s) - interpolate(steps_s, cut_dry_kg, from_s)),
    area_m2: interpolate(seconds_s, ground_m2, to_s) - interpolate(seconds_s, ground_m2, from_s),
  });
}

/** The points in the plane of the truth's blocks. */
function inFrameOf(field: FieldTruth, points: FieldPoints): FieldPoints {
  const frame = blockFrame(field.frame.lon0, field.frame.lat0);
  const places = Array.from(points.t_s, (_, i) =>
    frame.eastNorth(points.longitude_deg[i], points.latitude_deg[i]),
  );
  return {
    ...points,
    east_m: Float64Array.from(places, ([east_m]) => east_m),
    north_m: Float64Array.from(places, ([, north_m]) => north_m),
  };
}
