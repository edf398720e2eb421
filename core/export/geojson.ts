/** `points.geojson`: the contract's file of yield points, made piece by piece. */
import type { FieldPoints, SeasonResult } from '../result.ts';
import type { Season } from '../season.ts';
import { collectionPieces } from './formats/geojson.ts';
import { GeographicBox } from './layers/antimeridian.ts';
import type { ExportLayer } from './layers/layer.ts';
import { layerField } from './layers/layer-field.ts';
import { pointLayer } from './layers/point-layer.ts';

export interface GeojsonOptions {
  /** `kept`: only points that no rule caught; `all`: every point, with the rule that caught it. */
  readonly points: 'kept' | 'all';
}

/**
 * The text of `points.geojson` in pieces of a few hundred points: one FeatureCollection with `bbox`, one Point a
 * line, no `crs`; properties as the contract names them, absent numbers `null`, yields at the field's standard
 * moisture. A point without a position (only among `all`) has a null geometry, as RFC 7946 §3.2 asks.
 */
export function geojsonPieces(
  season: Season,
  result: SeasonResult,
  options: GeojsonOptions,
): Generator<string> {
  return collectionPieces(contractLayers(season, result, options), {
    bounds: boundsOfPoints(result, options),
  });
}

/** One field at a time, so that no more than one is in memory as a layer. */
function* contractLayers(
  season: Season,
  result: SeasonResult,
  { points }: GeojsonOptions,
): Generator<ExportLayer> {
  for (const place of result.points.keys()) {
    const field = layerField(season, result, place);
    const layer = pointLayer(field, result, { points, units: 'metric' });
    yield { ...layer, columns: layer.columns.filter(({ name }) => isOfContract(name, field.bushel_kg)) };
  }
}

/** The contract has no crop, and bushels only where the crop has them. */
function isOfContract(name: string, bushel_kg: number): boolean {
  return name !== 'crop' && (name !== 'yield_bu_ac' || Number.isFinite(bushel_kg));
}

/** West, south, east, north of the wanted points; west > east across the 180° meridian (RFC 7946 §5.2). */
function boundsOfPoints({ points }: SeasonResult, options: GeojsonOptions): GeographicBox['bounds'] {
  const box = new GeographicBox();
  for (const field of points)
    for (let row = 0; row < field.t_s.length; row++)
      if (isWanted(field, row, options)) box.add(field.longitude_deg[row], field.latitude_deg[row]);
  return box.bounds;
}

function isWanted(points: FieldPoints, row: number, options: GeojsonOptions): boolean {
  return options.points === 'all' || points.screened_by[row] === 0;
}
