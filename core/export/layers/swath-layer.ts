/**
 * Swaths of a field as a layer: the ground that each point cut, as wide as the crop that was still standing there and as long as
 * the way of its interval, at the side of the header where it stood. Its area is that which the point's yield rests on.
 */
import type { FieldPoints, SeasonResult } from '../../result.ts';
import type { LocalFrame } from '../../track/local-frame.ts';
import { freshOffsets_m } from './fresh-side.ts';
import type { ExportLayer } from './layer.ts';
import type { LayerExportChoice } from './layer-choice.ts';
import { type LayerField, layerHead } from './layer-field.ts';
import { quantityColumn } from './measured-columns.ts';
import { pointColumns, wantedRows } from './point-columns.ts';

/** Points that cut nothing, or have no place, are in no row. */
export function swathLayer(
  field: LayerField,
  result: SeasonResult,
  { points: choice, units }: Pick<LayerExportChoice, 'points' | 'units'>,
): ExportLayer {
  const { points, frame } = field;
  const rows = wantedRows(points, choice).filter((row) => frame !== undefined && hasGround(points, row));
  const area_m2 = Float64Array.from(rows, (row) => points.fresh_area_m2[row]);
  let corners: Float64Array | undefined;
  return {
    kind: 'swaths',
    ...layerHead(field),
    rows: rows.length,
    geometry: {
      kind: 'polygon',
      rings: (row) => {
        if (frame === undefined) return [];
        corners ??= swathCorners(field, rows, frame);
        const ring = new Float64Array(10);
        ring.set(corners.subarray(8 * row, 8 * row + 8));
        ring.set(ring.subarray(0, 2), 8);
        return [ring];
      },
    },
    columns: [
      ...pointColumns(field, rows, result, units),
      quantityColumn('swath_area', units, area_m2, 'Ground that was freshly cut in the interval.'),
    ],
  };
}

function hasGround(points: FieldPoints, row: number): boolean {
  return (
    points.cut_width_m[row] > 0 &&
    points.distance_m[row] > 0 &&
    Number.isFinite(points.east_m[row] + points.north_m[row] + points.heading_rad[row])
  );
}

/** In degrees, four corners a row: back left, back right, front right, front left, which is counter-clockwise. */
function swathCorners(field: LayerField, rows: Int32Array, frame: LocalFrame): Float64Array {
  const { points } = field;
  const offsets_m = freshOffsets_m(points, field);
  const east_m = new Float64Array(4 * rows.length);
  const north_m = new Float64Array(4 * rows.length);
  rows.forEach((row, k) => {
    const [sin, cos] = [Math.sin(points.heading_rad[row]), Math.cos(points.heading_rad[row])];
    const [ahead_m, right_m] = [points.distance_m[row] / 2, points.cut_width_m[row] / 2];
    const corner = (at: number, ahead: number, right: number) => {
      const across_m = offsets_m[row] + right * right_m;
      east_m[4 * k + at] = points.east_m[row] + ahead * ahead_m * sin + across_m * cos;
      north_m[4 * k + at] = points.north_m[row] + ahead * ahead_m * cos - across_m * sin;
    };
    corner(0, -1, -1);
    corner(1, -1, 1);
    corner(2, 1, 1);
    corner(3, 1, -1);
  });
  const { longitude_deg, latitude_deg } = frame.toGeographic(east_m, north_m);
  const corners = new Float64Array(8 * rows.length);
  for (let k = 0; k < longitude_deg.length; k++) {
    corners[2 * k] = longitude_deg[k];
    corners[2 * k + 1] = latitude_deg[k];
  }
  return corners;
}
