/** Points of a field as a layer: one a fix, on the cutting line. */
import type { SeasonResult } from '../../result.ts';
import type { ExportLayer } from './layer.ts';
import type { LayerExportChoice } from './layer-choice.ts';
import { type LayerField, layerHead } from './layer-field.ts';
import { pointColumns, wantedRows } from './point-columns.ts';

/** The field's points, in the order in which they were cut; those without a place among `all` have NaN for it. */
export function pointLayer(
  field: LayerField,
  result: SeasonResult,
  { points: choice, units }: Pick<LayerExportChoice, 'points' | 'units'>,
): ExportLayer {
  const { points } = field;
  const rows = wantedRows(points, choice);
  return {
    kind: 'points',
    ...layerHead(field),
    rows: rows.length,
    geometry: {
      kind: 'point',
      longitude_deg: Float64Array.from(rows, (row) => points.longitude_deg[row]),
      latitude_deg: Float64Array.from(rows, (row) => points.latitude_deg[row]),
    },
    columns: pointColumns(field, rows, result, units),
  };
}
