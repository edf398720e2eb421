/** What a table over many seasons shows of each: a few figures from its summary and sheet. */
import type { UnitSystem } from '../../../core/export/report/figures.ts';
import { findCrop } from '../../../core/grain/find-crop.ts';
import type { Summary } from '../../../core/result.ts';
import type { Season } from '../../../core/season.ts';

export interface SeasonFigures {
  /** As the sheet has it. */
  readonly season: string;
  readonly units: UnitSystem;
  readonly fields: readonly FieldFigures[];
  readonly calibrations: readonly CalibrationFigures[];
  readonly warnings: number;
}

export interface FieldFigures {
  readonly field: string;
  readonly crop: string;
  /** Null where the crop has none. */
  readonly bushel_kg: number | null;
  readonly area_ha: number;
  /** At `standard_moisture_pct`. */
  readonly mass_std_kg: number;
  readonly standard_moisture_pct: number;
  readonly mean_yield_t_ha: number | null;
  readonly points: number;
  readonly points_kept: number;
}

export interface CalibrationFigures {
  readonly machine: string;
  readonly crop: string;
  readonly loads_used: number;
  /** Root mean square of the errors of loads left out, %; null where too few were weighed. */
  readonly loo_rmse_pct: number | null;
}

/** The figures of a summary; the sheet adds what only it knows, units and bushels. */
export function figuresOf(season: Season, summary: Summary): SeasonFigures {
  return {
    season: summary.season,
    units: season.units ?? 'metric',
    fields: summary.fields.map((field) => {
      const crop = findCrop(season, field.crop);
      const bushel_kg = crop.ok ? crop.value.bushel_kg : Number.NaN;
      return {
        field: field.name,
        crop: field.crop,
        bushel_kg: Number.isFinite(bushel_kg) ? bushel_kg : null,
        area_ha: field.area_ha,
        mass_std_kg: field.mass_std_kg,
        standard_moisture_pct: field.standard_moisture_pct,
        mean_yield_t_ha: field.mean_yield_t_ha,
        points: field.points.total,
        points_kept: field.points.kept,
      };
    }),
    calibrations: summary.calibrations.map(({ machine, crop, loads, loo_rmse_pct }) => ({
      machine,
      crop,
      loads_used: loads.filter(({ used }) => used).length,
      loo_rmse_pct,
    })),
    warnings: summary.warnings.length,
  };
}
