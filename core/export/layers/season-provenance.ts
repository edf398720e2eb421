/** What exported files of a season say of their own making. */

import type { SeasonResult } from '../../result.ts';
import type { Season } from '../../season.ts';
import { ESTIMATE_ONLY } from '../caution.ts';
import type { Provenance } from '../formats/format.ts';
import type { LayerExportChoice } from './layer-choice.ts';

/** `places`: of the exported fields among the result's points. */
export function seasonProvenance(
  season: Season,
  { summary, points }: SeasonResult,
  choice: Pick<LayerExportChoice, 'points'>,
  places: readonly number[],
): Provenance {
  const names = new Set(places.map((place) => points[place].field));
  const crops = new Set(places.map((place) => points[place].crop));
  const uncalibrated = summary.calibrations.filter(
    ({ model, crop }) => model === 'uncalibrated' && crops.has(crop),
  );
  const kept = choice.points === 'kept' ? 'Points that a screening rule caught are left out.' : '';
  return {
    generated_by: summary.generated_by,
    season: summary.season,
    inputs: summary.inputs.map(({ path, sha256 }) => ({ path, sha256 })),
    settings: JSON.stringify(season.settings ?? {}),
    remarks: [
      ...summary.fields
        .filter(({ name }) => names.has(name))
        .map(({ name, standard_moisture_pct }) => `${name}: yields at ${standard_moisture_pct} % moisture.`),
      ...uncalibrated.map(
        ({ crop, machine }) =>
          `${crop}, ${machine}: not calibrated, no scale ticket belongs to it; yields show the pattern, not the weight.`,
      ),
      kept,
      ESTIMATE_ONLY,
    ].filter((remark) => remark !== ''),
  };
}
