/** KML for looking at a field on a globe: polygons as a plain document, points in a KMZ that has the dot they are drawn with. */
import { zipSync } from 'fflate';
import type { DataError } from '../../../core/errors.ts';
import type { ExportFile, ExportFormat, LayerSet, Provenance } from '../../../core/export/formats/format.ts';
import { kmlPieces } from '../../../core/export/formats/kml-document.ts';

/** A document for each set; polygons are refused beyond what globes stand, points are thinned. */
export const kml: ExportFormat = { kinds: ['points', 'swaths', 'cells', 'zones'], refusal, files };

/** Programs that show KML hold everything in memory and become slow beyond this; common practice, no source. */
const MOST_POINTS = 50_000;
const MOST_POLYGONS = 100_000;

const DOT_NAME = 'dot.png';
/** A white disc of 32 pixels on nothing, which styles colour. */
const DOT_PNG =
  'iVBORw0KGgoAAAANSUhEUgAAACAAAAAgCAQAAADZc7J/AAAAqUlEQVR42q3V0Q2AIAwEUCdgN1ZgFlboCs7CLp2BnE2IwRhQaHv8GAkvsUI5cNjG' +
  'bCKCUMCoMlieSN4sAgFZlozCMhP+gDRZ3JH0BRBWQjPgxGrOEUDYCb2BhN2kJxB+SjcuZ+hAhia5A6wC+AYitIkNIDVADShqoDSA1QA3oKqB6gSY' +
  'P8FcRPNvNG8k81Z2OEzm42xuKA4tzaGpOrR1h4vF4WpzuFw3xwXcKLwTpcD1pgAAAABJRU5ErkJggg==';

/** Points are thinned, which leaves a picture that is right; polygons would leave holes where something was cut. */
function refusal(sets: readonly LayerSet[]): DataError | undefined {
  for (const { stem, kind, layers } of sets) {
    const rows = layers.reduce((sum, layer) => sum + layer.rows, 0);
    if (kind === 'points' || rows <= MOST_POLYGONS) continue;
    const text =
      `${stem}.kml would hold ${rows} polygons, and programs that show KML stand about ${MOST_POLYGONS}; ` +
      `export the ${kind} of fewer fields at once, or a file for each field, or cells and zones, or as GeoPackage.`;
    return { code: 'too_many_for_kml', source: stem, text };
  }
  return undefined;
}

function files(sets: readonly LayerSet[], provenance: Provenance): ExportFile[] {
  return sets.map((set): ExportFile => {
    const isZipped = set.kind === 'points';
    const values = isZipped ? 'data' : 'schema';
    const text = () => kmlPieces(set, provenance, { icon: DOT_NAME, most_points: MOST_POINTS, values });
    return isZipped
      ? { name: `${set.stem}.kmz`, pieces: { [Symbol.iterator]: () => kmzPieces(text()) } }
      : { name: `${set.stem}.kml`, pieces: { [Symbol.iterator]: text } };
  });
}

/** `doc.kml` first, as KMZ has it; times of the entries are those of no clock. */
function* kmzPieces(text: Iterable<string>): Generator<Uint8Array> {
  const document = Buffer.concat(Array.from(text, (piece) => Buffer.from(piece)));
  yield zipSync(
    {
      'doc.kml': new Uint8Array(document),
      [DOT_NAME]: [new Uint8Array(Buffer.from(DOT_PNG, 'base64')), { level: 0 }],
    },
    { mtime: '1980-01-01T00:00:00' },
  );
}
