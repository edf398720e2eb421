/** What all layers of a field have in common. */
import { findCrop } from '../../grain/find-crop.ts';
import type { FieldPoints, SeasonResult } from '../../result.ts';
import type { Season } from '../../season.ts';
import { frameOfPoints } from '../../surface/points-frame.ts';
import type { LocalFrame } from '../../track/local-frame.ts';
import type { ExportLayer, LayerColumn } from './layer.ts';

export interface LayerField {
  readonly points: FieldPoints;
  /** `undefined` when no point has a position. */
  readonly frame: LocalFrame | undefined;
  /** NaN for a crop without a bushel. */
  readonly bushel_kg: number;
  readonly standard_moisture_pct: number | undefined;
  /** Rings in the field's plane, interleaved east, north, m; none where it has no boundary. */
  readonly outline: readonly Float64Array[];
  /** Header width by machine, as `points.machine` counts them; NaN where it is unknown. */
  readonly header_widths_m: readonly number[];
}

/** Of the field at `place` among the points of a result. Throws RangeError when there is none. */
export function layerField(season: Season, result: SeasonResult, place: number): LayerField {
  const points = result.points[place];
  if (points === undefined) throw new RangeError(`the result has no field number ${place}`);
  const crop = findCrop(season, points.crop);
  return {
    points,
    frame: frameOfPoints(points),
    bushel_kg: crop.ok ? crop.value.bushel_kg : Number.NaN,
    standard_moisture_pct: result.summary.fields.find(({ name }) => name === points.field)
      ?.standard_moisture_pct,
    outline: result.outlines[place] ?? [],
    header_widths_m: result.machines.map(
      (id) => season.machines.find((machine) => machine.id === id)?.header.width_m ?? Number.NaN,
    ),
  };
}

/** Everything of a layer that does not hang on its rows. */
export function layerHead({
  points,
  frame,
  standard_moisture_pct,
  outline,
}: LayerField): Pick<ExportLayer, 'field' | 'crop' | 'standard_moisture_pct' | 'boundary'> {
  return {
    field: points.field,
    crop: points.crop,
    ...(standard_moisture_pct === undefined ? {} : { standard_moisture_pct }),
    ...(frame === undefined || outline.length === 0
      ? {}
      : { boundary: outline.map((ring) => closedRing(frame, ring)) }),
  };
}

/** The columns that tell a field's rows from those of others in one file. */
export function nameColumns({ points }: LayerField, rows: number): readonly LayerColumn[] {
  const codes = new Int32Array(rows);
  return [
    {
      kind: 'text',
      name: 'field',
      short_name: 'field',
      about: 'Name of the field.',
      words: [points.field],
      codes,
    },
    { kind: 'text', name: 'crop', short_name: 'crop', about: 'Crop.', words: [points.crop], codes },
  ];
}

/** A ring of the plane (closed or not) in degrees, interleaved, its first corner repeated at the end. */
export function closedRing(frame: LocalFrame, ring: Float64Array): Float64Array {
  const last = ring.length - 2;
  const isClosed = last > 0 && ring[0] === ring[last] && ring[1] === ring[last + 1];
  const corners = (isClosed ? last : ring.length) / 2;
  const east_m = Float64Array.from({ length: corners }, (_, k) => ring[2 * k]);
  const north_m = Float64Array.from({ length: corners }, (_, k) => ring[2 * k + 1]);
  const { longitude_deg, latitude_deg } = frame.toGeographic(east_m, north_m);
  const closed = new Float64Array(2 * corners + 2);
  for (let k = 0; k <= corners; k++) {
    closed[2 * k] = longitude_deg[k % corners];
    closed[2 * k + 1] = latitude_deg[k % corners];
  }
  return closed;
}
