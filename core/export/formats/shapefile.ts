/**
 * Layers as Shapefiles [ESRI Shapefile Technical Description, 1998]: shapes, their index, a dBase III table with the short names
 * of the columns, the projection and the encoding of the texts.
 */
import { strToU8 } from 'fflate';
import type { DataError } from '../../errors.ts';
import type { ExportFile, ExportFormat, LayerSet } from './format.ts';
import { FORMATS } from './format-list.ts';
import { indexPieces, type ShapeSurvey, shapePieces, surveyShapes } from './shapefile-shapes.ts';
import { tableBytes, tablePieces } from './shapefile-table.ts';

/** Five files for each set of layers; refused beyond 2 GB. */
export const SHAPEFILE: ExportFormat = { kinds: FORMATS.shapefile.kinds, refusal, files };

/** Of each of its files: offsets are signed numbers of 32 bits in most programs. */
const MOST_BYTES = 2 ** 31 - 1;

/** WGS84 in the well-known text that Shapefiles have had since 1999; readers compare it letter by letter. */
const PROJECTION =
  'GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],' +
  'PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]';

/** A set is surveyed once, for its size, its shapes and its index. */
const SURVEYS = new WeakMap<LayerSet, ShapeSurvey>();

function surveyed(set: LayerSet): ShapeSurvey {
  const survey = SURVEYS.get(set) ?? surveyShapes(set.layers);
  SURVEYS.set(set, survey);
  return survey;
}

function refusal(sets: readonly LayerSet[]): DataError | undefined {
  for (const set of sets) {
    const bytes = Math.max(tableBytes(set.layers), surveyed(set).bytes);
    if (bytes <= MOST_BYTES) continue;
    const text =
      `A Shapefile holds 2 GB at most, and ${set.stem} would have ${(bytes / 2 ** 30).toFixed(1)} GB; ` +
      'write files for each field, or choose GeoPackage or GeoParquet.';
    return { code: 'too_large_for_format', source: `${set.stem}.shp`, text };
  }
  return undefined;
}

function files(sets: readonly LayerSet[]): ExportFile[] {
  return sets.flatMap((set) => {
    const { stem, layers } = set;
    const named = (ending: string, pieces: () => Iterator<string | Uint8Array>): ExportFile => ({
      name: `${stem}.${ending}`,
      pieces: { [Symbol.iterator]: pieces },
    });
    return [
      named('shp', () => shapePieces(layers, surveyed(set))),
      named('shx', () => indexPieces(surveyed(set))),
      named('dbf', () => tablePieces(layers)),
      named('prj', () => [strToU8(PROJECTION)].values()),
      named('cpg', () => [strToU8('UTF-8')].values()),
    ];
  });
}
