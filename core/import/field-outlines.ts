/** Fields in a boundary file: features of one name are one field, with what their properties say about it. */
import { failure, type Notice, type Result, success } from '../errors.ts';
import { parseJsonText } from '../json-text.ts';
import { type BoundaryPolygons, readBoundary } from '../read/boundaries.ts';
import { shownText } from '../shown-text.ts';

export interface FieldOutline {
  /** As the file names it; undefined when it does not. */
  readonly name: string | undefined;
  readonly crop: string | undefined;
  readonly boundary: BoundaryPolygons;
  /** Made by this program from tracks, and good until a surveyed one comes. */
  readonly derived: boolean;
}

export interface FieldOutlines {
  readonly outlines: readonly FieldOutline[];
}

/** Property names that hold a field's name, the plainest first. Compared without case, spaces and underscores. */
const NAME_KEYS = ['fieldname', 'field', 'name', 'paddock', 'block', 'label', 'title', 'schlag', 'parcel'];
const CROP_KEYS = ['crop', 'cropname', 'frucht', 'culture', 'cultivo'];
/** Longer names are cut. */
const LONGEST_NAME = 80;
/** The property that marks an outline as made by this program. */
export const DERIVED_KEY = 'derived_from_tracks';

interface Feature {
  readonly properties: Readonly<Record<string, unknown>>;
  readonly geometry: unknown;
}

/** Reads GeoJSON as `readBoundary` does and fails as it does; a feature without polygons is left out with a notice. */
export function readFieldOutlines(text: string, source: string): Result<FieldOutlines> {
  const whole = readBoundary(text, source);
  if (!whole.ok) return whole;
  const json = parseJsonText(text, source);
  if (!json.ok) return failure(json.error);
  const features = featuresOf(json.value.value);
  const named = new Map<string, Feature[]>();
  features.forEach((feature, i) => {
    const name = propertyOf(feature, NAME_KEYS);
    // features without a name are fields of their own
    const key = name === undefined ? `#${i}` : `=${name.toLowerCase()}`;
    named.set(key, [...(named.get(key) ?? []), feature]);
  });
  if (named.size <= 1) {
    const [feature] = features;
    return success({ outlines: [outlineOf(feature, whole.value)] }, whole.notices);
  }
  const notices: Notice[] = [];
  const outlines: FieldOutline[] = [];
  for (const group of named.values()) {
    const geometries = group.map(({ geometry }) => geometry);
    const read = readBoundary(JSON.stringify({ type: 'GeometryCollection', geometries }), source);
    if (read.ok) outlines.push(outlineOf(group[0], read.value));
  }
  notices.push(...whole.notices);
  return success({ outlines }, notices);
}

/** GeoJSON text of one field's outline (RFC 7946), for `boundaries/`. */
export function outlineText(
  name: string,
  boundary: BoundaryPolygons,
  properties: Readonly<Record<string, string | boolean>>,
): string {
  const coordinates = boundary.polygons.map((rings) =>
    rings.map((ring) => {
      const positions: [number, number][] = [];
      for (let k = 0; k < ring.length; k += 2) positions.push([rounded(ring[k]), rounded(ring[k + 1])]);
      return positions;
    }),
  );
  const geometry = { type: 'MultiPolygon', coordinates };
  const feature = { type: 'Feature', properties: { name, ...properties }, geometry };
  return `${JSON.stringify({ type: 'FeatureCollection', features: [feature] })}\n`;
}

/** 1e-9° is 0.1 mm. */
function rounded(degrees: number): number {
  return Math.round(degrees * 1e9) / 1e9;
}

function outlineOf(feature: Feature | undefined, boundary: BoundaryPolygons): FieldOutline {
  return {
    name: feature && propertyOf(feature, NAME_KEYS),
    crop: feature && propertyOf(feature, CROP_KEYS),
    boundary,
    derived: feature?.properties[DERIVED_KEY] === true,
  };
}

/** Features with a geometry, whatever they are wrapped in; a bare geometry is one without properties. */
function featuresOf(json: unknown): Feature[] {
  if (typeof json !== 'object' || json === null) return [];
  const { type, features, geometry, properties } = json as Record<string, unknown>;
  if (type === 'FeatureCollection' && Array.isArray(features)) return features.flatMap(featuresOf);
  if (type === 'Feature') {
    const isObject = typeof properties === 'object' && properties !== null;
    const isPlaced = typeof geometry === 'object' && geometry !== null && holdsPolygon(geometry);
    return isPlaced
      ? [{ properties: isObject ? (properties as Record<string, unknown>) : {}, geometry }]
      : [];
  }
  return holdsPolygon(json) ? [{ properties: {}, geometry: json }] : [];
}

function holdsPolygon(geometry: object): boolean {
  const { type, geometries } = geometry as { type?: unknown; geometries?: unknown };
  if (type === 'GeometryCollection')
    return (
      Array.isArray(geometries) &&
      geometries.some((one) => typeof one === 'object' && one !== null && holdsPolygon(one))
    );
  return type === 'Polygon' || type === 'MultiPolygon';
}

/** The first filled property of these names, as trimmed text of one line. */
function propertyOf({ properties }: Feature, keys: readonly string[]): string | undefined {
  const plain = new Map(
    Object.entries(properties).map(([key, held]) => [key.toLowerCase().replaceAll(/[\s_-]/g, ''), held]),
  );
  for (const key of keys) {
    const held = plain.get(key);
    if (typeof held !== 'string' && typeof held !== 'number') continue;
    const text = shownText(String(held).replaceAll(/\s+/g, ' ').trim(), LONGEST_NAME);
    if (text !== '') return text;
  }
  return undefined;
}
