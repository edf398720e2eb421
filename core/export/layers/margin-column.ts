/** What each cell or zone leaves, where the season's sheet has prices: its yield at the net price of its field, less the field's costs. */
import { ACRES_PER_HA, marginsOfYields } from '../../analysis/margin/margin.ts';
import { fieldMargins, NO_CURRENCY } from '../../analysis/margin/season-margins.ts';
import type { SeasonResult } from '../../result.ts';
import type { Season } from '../../season.ts';
import { tHaFromKgM2 } from '../../units.ts';
import type { ExportLayer, NumberColumn } from './layer.ts';
import type { LayerUnits } from './layer-choice.ts';

/**
 * The layer with a column `margin_per_ha` (`margin_per_ac`) at its end; as it is where the season has no prices. Absent for a field
 * whose crop has none, so that all fields have the same columns. `yield_kg_m2`, one a row, is at standard moisture.
 */
export function withMargin(
  layer: ExportLayer,
  yield_kg_m2: Float64Array,
  season: Season,
  { summary }: Pick<SeasonResult, 'summary'>,
  units: LayerUnits,
): ExportLayer {
  const { prices = [], currency = NO_CURRENCY } = season.settings?.margin ?? {};
  if (prices.length === 0) return layer;
  const own = fieldMargins(
    season,
    summary.fields.filter(({ name }) => name === layer.field),
  )[0];
  const per_ha =
    own === undefined
      ? new Float64Array(layer.rows).fill(Number.NaN)
      : marginsOfYields(yield_kg_m2.map(tHaFromKgM2), own.margin);
  const isUs = units === 'us';
  const column: NumberColumn = {
    kind: 'real',
    name: isUs ? 'margin_per_ac' : 'margin_per_ha',
    short_name: isUs ? 'mrg_ac' : 'mrg_ha',
    about: `Gross margin in ${currency}: yield at the field's mean moisture, price less drying and hauling, less the costs of the ground.`,
    digits: 1,
    numbers: isUs ? per_ha.map((sum) => sum / ACRES_PER_HA) : per_ha,
  };
  return { ...layer, columns: [...layer.columns, column] };
}
