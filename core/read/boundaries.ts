/**
 * Field boundaries from GeoJSON (RFC 7946): polygons in WGS84 longitude and latitude, whatever they are wrapped in.
 * The direction of rings is ignored (RFC 7946 §3.1.6: parsers should not reject it); open rings are closed.
 */
import { type DataError, failure, type Notice, type Result, success } from '../errors.ts';
import { parseJsonValue } from '../json-text.ts';
import { shownText } from '../shown-text.ts';
import { outlineLength_km } from './outline-length.ts';
import { ringCrossing } from './ring-crossing.ts';

export interface BoundaryPolygons {
  readonly source: string;
  /** Polygons of rings; each ring interleaved lon, lat in degrees, closed (first point again at the end), outer ring first. */
  readonly polygons: readonly (readonly Float64Array[])[];
}

/**
 * Reads a Polygon, MultiPolygon, Feature, FeatureCollection or GeometryCollection; other geometries in them are left
 * out with a notice. Fails with `json_syntax`, `not_geojson`, `no_polygon`, `position_out_of_range` (swapped or
 * projected coordinates), or `outline_too_long`.
 */
export function readBoundary(text: string, source: string): Result<BoundaryPolygons> {
  if (/^\uFEFF?\s*</.test(text)) {
    return fail(
      source,
      'not_geojson',
      'is XML (KML or GML, perhaps), not GeoJSON; save the outline as GeoJSON.',
    );
  }
  const json = parseJsonValue(text, source);
  if (!json.ok) return failure(json.error);
  const found: Found = { polygons: [], ignored: 0 };
  const wrong = collect(json.value, found, 0);
  if (wrong) return fail(source, 'not_geojson', wrong);
  if (found.polygons.length === 0) {
    const what = found.ignored > 0 ? 'only points or lines' : 'no geometry';
    return fail(
      source,
      'no_polygon',
      `holds ${what}; give the field's outline as a Polygon or MultiPolygon.`,
    );
  }
  const counts: Repairs = { opened: 0, degenerate: 0 };
  const polygons: Float64Array[][] = [];
  for (const rings of found.polygons) {
    const polygon = polygonFromRings(rings, counts);
    if (typeof polygon === 'string') return fail(source, 'position_out_of_range', polygon);
    if (polygon.length > 0) polygons.push(polygon);
  }
  if (polygons.length === 0) {
    return fail(
      source,
      'no_polygon',
      'holds no ring of three or more different points; draw the outline again.',
    );
  }
  const longest_km = polygons.reduce((longest, rings) => Math.max(longest, outlineLength_km(rings)), 0);
  if (longest_km > MOST_OUTLINE_KM) {
    return fail(
      source,
      'outline_too_long',
      `has an outline ${Math.round(longest_km)} km long, which no field has; a corner is far from where it should be: draw it again.`,
    );
  }
  return success({ source, polygons }, [
    ...repairNotices(source, found, counts),
    ...crossingNotices(source, polygons),
  ]);
}

/** Around the largest field that is farmed as one it is some 50 km. A choice of ours. */
const MOST_OUTLINE_KM = 1000;

interface Found {
  readonly polygons: unknown[][];
  /** Points, lines and empty geometries. */
  ignored: number;
}

interface Repairs {
  opened: number;
  degenerate: number;
}

/** Deeper nesting of collections than this is a mistake, not a boundary. */
const DEPTH_LIMIT = 32;

/** Gathers the rings of all polygons in `node`; says what is wrong when it is no GeoJSON. */
function collect(node: unknown, into: Found, depth: number): string | undefined {
  if (depth > DEPTH_LIMIT) return `nests collections more than ${DEPTH_LIMIT} deep; save it again.`;
  if (typeof node !== 'object' || node === null) return 'is not GeoJSON: an object with a "type" is missing.';
  const { type, features, geometry, geometries, coordinates } = node as Record<string, unknown>;
  switch (type) {
    case 'FeatureCollection':
      return collectAll(features, 'features', into, depth);
    case 'GeometryCollection':
      return collectAll(geometries, 'geometries', into, depth);
    case 'Feature':
      if (geometry !== null && geometry !== undefined) return collect(geometry, into, depth + 1);
      into.ignored++;
      return undefined;
    case 'Polygon':
      return addPolygon(coordinates, into);
    case 'MultiPolygon':
      if (!Array.isArray(coordinates)) return 'has a MultiPolygon without coordinates; save it again.';
      for (const polygon of coordinates) {
        const wrong = addPolygon(polygon, into);
        if (wrong) return wrong;
      }
      return undefined;
    case 'Point':
    case 'MultiPoint':
    case 'LineString':
    case 'MultiLineString':
      into.ignored++;
      return undefined;
    default:
      return `is not GeoJSON: its type is ${typeof type === 'string' ? `"${shownText(type)}"` : 'missing'}; save the outline as GeoJSON.`;
  }
}

function collectAll(list: unknown, key: string, into: Found, depth: number): string | undefined {
  if (!Array.isArray(list)) return `has a collection without "${key}"; save it again.`;
  for (const member of list) {
    const wrong = collect(member, into, depth + 1);
    if (wrong) return wrong;
  }
  return undefined;
}

function addPolygon(rings: unknown, into: Found): string | undefined {
  if (!Array.isArray(rings) || !rings.every(Array.isArray)) {
    return 'has a Polygon whose coordinates are not a list of rings; save it again.';
  }
  if (rings.length > 0) into.polygons.push(rings);
  return undefined;
}

/** Rings as columns; a sentence about the first position that cannot be one. A polygon whose outer ring has no area is left out. */
function polygonFromRings(rings: readonly unknown[], counts: Repairs): Float64Array[] | string {
  const polygon: Float64Array[] = [];
  for (const [index, positions] of rings.entries()) {
    const ring: number[] = [];
    for (const position of positions as unknown[]) {
      const wrong = positionFault(position);
      if (wrong) return wrong;
      const [longitude_deg, latitude_deg] = position as number[];
      ring.push(longitude_deg, latitude_deg);
    }
    const length = ring.length;
    if (length > 0 && (ring[0] !== ring[length - 2] || ring[1] !== ring[length - 1])) {
      ring.push(ring[0], ring[1]);
      counts.opened++;
    }
    const distinct = new Set<string>();
    for (let i = 0; i < ring.length; i += 2) distinct.add(`${ring[i]} ${ring[i + 1]}`);
    if (distinct.size >= 3) {
      polygon.push(Float64Array.from(ring));
    } else {
      counts.degenerate++;
      if (index === 0) return [];
    }
  }
  return polygon;
}

function positionFault(position: unknown): string | undefined {
  if (!Array.isArray(position) || typeof position[0] !== 'number' || typeof position[1] !== 'number') {
    return `has a position that is not [longitude, latitude]: ${shownText(positionText(position))}.`;
  }
  const [longitude_deg, latitude_deg] = position;
  if (Math.abs(latitude_deg) <= 90 && Math.abs(longitude_deg) <= 180) return undefined;
  const shown = `[${degreesText(longitude_deg)}, ${degreesText(latitude_deg)}]`;
  return Math.abs(longitude_deg) <= 90 && Math.abs(latitude_deg) <= 180
    ? `has the position ${shown}: longitude and latitude are likely swapped; GeoJSON wants longitude first.`
    : `has the position ${shown}, which is no longitude and latitude in degrees: the file is likely in a projected grid (metres or feet); export it as WGS84 longitude and latitude.`;
}

function positionText(position: unknown): string {
  return JSON.stringify(position, (_, held) =>
    Math.abs(held) === Number.POSITIVE_INFINITY ? degreesText(held) : held,
  );
}

/** What JSON writes with more digits than a number holds (1e999) is no place at all. */
function degreesText(degrees: number): string {
  return Number.isFinite(degrees) ? String(degrees) : 'out of all bounds';
}

function repairNotices(source: string, { ignored }: Found, { opened, degenerate }: Repairs): Notice[] {
  const notices: Notice[] = [];
  const add = (code: string, severity: Notice['severity'], count: number, what: string) => {
    if (count > 0) notices.push({ code, severity, source, count, text: `${source}: ${what}` });
  };
  add(
    'ring_closed',
    'info',
    opened,
    `${opened} open ring(s) were closed by joining the last point to the first.`,
  );
  add(
    'ring_too_small',
    'look',
    degenerate,
    `${degenerate} ring(s) of fewer than three different points were left out.`,
  );
  add(
    'geometry_ignored',
    'info',
    ignored,
    `${ignored} point(s), line(s) or empty feature(s) were left out; only polygons bound a field.`,
  );
  return notices;
}

/** One notice for the first ring that crosses itself: what is inside such a ring is anyone's guess. */
function crossingNotices(source: string, polygons: readonly (readonly Float64Array[])[]): Notice[] {
  for (const ring of polygons.flat()) {
    const at = ringCrossing(ring);
    if (at === undefined) continue;
    const text = `${source}: the outline crosses itself near longitude ${at[0].toFixed(6)}, latitude ${at[1].toFixed(6)}, so that parts of the field count as outside; draw it again there.`;
    return [{ code: 'outline_crosses_itself', severity: 'look', source, count: 1, text }];
  }
  return [];
}

function fail(source: string, code: string, what: string): Result<BoundaryPolygons> {
  const error: DataError = { code, source, text: `${source} ${what}` };
  return failure(error);
}
