/**
 * KML 2.2 [OGC 07-147r2] of a set of layers: folders by field and class, styles from the program's own ramp, every number of a row
 * in its `ExtendedData`. Positions are longitude, latitude; rings counter-clockwise; colours aabbggrr.
 */
import { isoFromUnix } from '../../iso-time.ts';
import type { ExportLayer, LayerColumn } from '../layers/layer.ts';
import { fixedJson } from '../number-text.ts';
import type { LayerSet, Provenance } from './format.ts';
import { type DrawnClasses, drawnClasses, drawnYield, yieldText } from './kml-classes.ts';
import { finePolygons, roundedTo, typedValue } from './layer-values.ts';
import { xmlText } from './xml-text.ts';

export interface KmlOptions {
  /** Picture of a point, white, relative to the document. */
  readonly icon: string;
  /** Points are thinned evenly to about so many a document, which is said in it; polygons never are. */
  readonly most_points: number;
  /** `schema`: numbers have their types; `data`: all are texts, for archives, in which some readers do not find the schema. */
  readonly values: 'schema' | 'data';
}

/** Of a degree: a centimetre. */
const DEGREE_DIGITS = 7;
const PLACEMARKS_A_PIECE = 500;
/** Polygons let the ground shine through a little. */
const ALPHA = { point: 'ff', polygon: 'd9' } as const;
/** Of rows that have no yield. */
const GREY = '#808080';

/** The text of a document in pieces. Rows without a place are not in it: there is nothing to look at. */
export function* kmlPieces(
  { kind, layers }: LayerSet,
  provenance: Provenance,
  { icon, most_points, values }: KmlOptions,
): Generator<string> {
  const rows = layers.reduce((sum, layer) => sum + layer.rows, 0);
  const step = kind === 'points' ? Math.max(1, Math.ceil(rows / most_points)) : 1;
  const crops = [...new Set(layers.map(({ crop }) => crop))];
  const drawn = crops.map((crop) => drawnClasses(layers.filter((layer) => layer.crop === crop)));
  yield `<?xml version="1.0" encoding="UTF-8"?>\n<kml xmlns="http://www.opengis.net/kml/2.2">\n<Document>\n`;
  yield nameAndDescription(kind, provenance, step);
  for (const [crop, classes] of drawn.entries())
    yield styleElements(classes, crop, kind === 'points' ? icon : undefined);
  yield origin(provenance);
  if (values === 'schema' && layers.length > 0) yield schemaElement(kind, layers[0].columns);
  for (const layer of layers) {
    const crop = crops.indexOf(layer.crop);
    yield* fieldFolder(layer, drawn[crop], { crop, step, values });
  }
  yield '</Document>\n</kml>\n';
}

function nameAndDescription(
  kind: string,
  { season, remarks, generated_by }: Provenance,
  step: number,
): string {
  const thinned =
    step > 1
      ? [`To be looked at: of ${step} points one is in this file. The other formats hold all of them.`]
      : [];
  const said = [...thinned, ...remarks, `Made by ${generated_by}.`];
  return (
    `<name>${xmlText(`${season}: ${kind}`)}</name>\n<open>1</open>\n` +
    `<description>${said.map(xmlText).join('\n')}</description>\n`
  );
}

function origin({ generated_by, season, inputs, settings }: Provenance): string {
  const entries: readonly (readonly [string, string])[] = [
    ['generated_by', generated_by],
    ['season', season],
    ...inputs.map(({ path, sha256 }) => ['input', `${path} sha256 ${sha256}`] as const),
    ['settings', settings],
  ];
  const items = entries.map(
    ([name, text]) => `<Data name="${name}"><value>${xmlText(text)}</value></Data>\n`,
  );
  return `<ExtendedData>\n${items.join('')}</ExtendedData>\n`;
}

/** Of points with their `icon`, else of polygons. */
function styleElements({ classes }: DrawnClasses, crop: number, icon: string | undefined): string {
  const drawn = (colour: string) =>
    icon === undefined
      ? `<PolyStyle><color>${kmlColour(colour, ALPHA.polygon)}</color><outline>0</outline></PolyStyle>`
      : `<IconStyle><color>${kmlColour(colour, ALPHA.point)}</color><scale>0.3</scale>` +
        `<Icon><href>${xmlText(icon)}</href></Icon></IconStyle><LabelStyle><scale>0</scale></LabelStyle>`;
  const style = (colour: string, k: number) => `<Style id="${styleId(crop, k)}">${drawn(colour)}</Style>\n`;
  return classes.map(({ colour }, k) => style(colour, k)).join('') + style(GREY, -1);
}

function styleId(crop: number, k: number): string {
  return `crop${crop + 1}-${k < 0 ? 'none' : `class${k + 1}`}`;
}

/** `#rrggbb` → aabbggrr. */
function kmlColour(colour: string, alpha: string): string {
  return `${alpha}${colour.slice(5, 7)}${colour.slice(3, 5)}${colour.slice(1, 3)}`;
}

const SCHEMA_TYPES: Readonly<Record<LayerColumn['kind'], string>> = {
  real: 'double',
  whole: 'int',
  flag: 'bool',
  time: 'string',
  text: 'string',
};

function schemaElement(kind: string, columns: readonly LayerColumn[]): string {
  const field = ({ name, about, kind }: LayerColumn) =>
    `<SimpleField type="${SCHEMA_TYPES[kind]}" name="${xmlText(name)}"><displayName>${xmlText(`${name}: ${about}`)}</displayName></SimpleField>\n`;
  return `<Schema name="${kind}" id="${kind}">\n${columns.map(field).join('')}</Schema>\n`;
}

/** Every `step`-th row; a folder for each class that has any. */
function* fieldFolder(
  layer: ExportLayer,
  { classes, classOf }: DrawnClasses,
  { crop, step, values }: { readonly crop: number; readonly step: number } & Pick<KmlOptions, 'values'>,
): Generator<string> {
  const byClass = new Map<number, number[]>();
  for (let row = 0; row < layer.rows; row += step) {
    const k = classOf(layer, row);
    const rows = byClass.get(k);
    if (rows === undefined) byClass.set(k, [row]);
    else rows.push(row);
  }
  const amounts = drawnYield(layer);
  yield `<Folder><name>${xmlText(`${layer.field} (${layer.crop})`)}</name>\n`;
  for (const k of [...classes.keys(), -1]) {
    const rows = byClass.get(k) ?? [];
    if (rows.length === 0) continue;
    yield `<Folder><name>${xmlText(classes[k]?.title ?? 'without a yield')}</name>\n`;
    for (let from = 0; from < rows.length; from += PLACEMARKS_A_PIECE) {
      const some = rows.slice(from, from + PLACEMARKS_A_PIECE);
      yield some
        .map((row) =>
          placemark(layer, row, { style: styleId(crop, k), name: yieldText(amounts, row), values }),
        )
        .join('');
    }
    yield '</Folder>\n';
  }
  yield '</Folder>\n';
}

interface Shown extends Pick<KmlOptions, 'values'> {
  readonly style: string;
  readonly name: string | undefined;
}

function placemark(layer: ExportLayer, row: number, { style, name, values }: Shown): string {
  const geometry = geometryElement(layer, row);
  if (geometry === '') return '';
  const items = layer.columns.map((column) => {
    const text = simpleText(column, row);
    if (text === undefined) return '';
    const named = `name="${xmlText(column.name)}"`;
    return values === 'data'
      ? `<Data ${named}><value>${xmlText(text)}</value></Data>`
      : `<SimpleData ${named}>${xmlText(text)}</SimpleData>`;
  });
  const said =
    values === 'data'
      ? items.join('')
      : `<SchemaData schemaUrl="#${layer.kind}">${items.join('')}</SchemaData>`;
  return (
    `<Placemark>${name === undefined ? '' : `<name>${name}</name>`}<styleUrl>#${style}</styleUrl>` +
    `<ExtendedData>${said}</ExtendedData>${geometry}</Placemark>\n`
  );
}

/** `undefined` for what is absent, which KML says by saying nothing. */
function simpleText(column: LayerColumn, row: number): string | undefined {
  if (column.kind === 'time') return isoFromUnix(roundedTo(column.numbers[row], column.digits)) ?? undefined;
  const found = typedValue(column, row);
  if (found === null) return undefined;
  if (typeof found === 'boolean') return found ? '1' : '0';
  return String(found);
}

function geometryElement({ geometry }: ExportLayer, row: number): string {
  if (geometry.kind === 'point') {
    const [longitude_deg, latitude_deg] = [geometry.longitude_deg[row], geometry.latitude_deg[row]];
    if (!Number.isFinite(longitude_deg) || !Number.isFinite(latitude_deg)) return '';
    return `<Point><coordinates>${position(longitude_deg, latitude_deg)}</coordinates></Point>`;
  }
  const polygons = finePolygons(geometry, row).map(
    ([outer, ...holes]) =>
      `<Polygon><outerBoundaryIs>${linearRing(outer)}</outerBoundaryIs>` +
      `${holes.map((hole) => `<innerBoundaryIs>${linearRing(hole)}</innerBoundaryIs>`).join('')}</Polygon>`,
  );
  return polygons.length > 1 ? `<MultiGeometry>${polygons.join('')}</MultiGeometry>` : polygons.join('');
}

function linearRing(ring: Float64Array): string {
  const positions: string[] = [];
  for (let at = 0; at < ring.length; at += 2) positions.push(position(ring[at], ring[at + 1]));
  return `<LinearRing><coordinates>${positions.join(' ')}</coordinates></LinearRing>`;
}

function position(longitude_deg: number, latitude_deg: number): string {
  return `${fixedJson(longitude_deg, DEGREE_DIGITS)},${fixedJson(latitude_deg, DEGREE_DIGITS)}`;
}
