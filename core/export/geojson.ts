/** `points.geojson`: the yield points as RFC 7946 GeoJSON, made piece by piece, because a season's text is larger than a string should be. */
import { findCrop } from '../grain/find-crop.ts';
import { isoFromUnix } from '../iso-time.ts';
import { type FieldPoints, SCREENING_RULES, type SeasonResult } from '../result.ts';
import type { Season } from '../season.ts';
import { buAcFromKgM2, degFromRad, lFromM3, tHaFromKgM2 } from '../units.ts';
import { fixedJson } from './number-text.ts';

export interface GeojsonOptions {
  /** `kept`: only points that no rule caught; `all`: every point, with the rule that caught it. */
  readonly points: 'kept' | 'all';
}

/** Digits after the point: 7 of a degree are a centimetre; the others are well below what can be measured. */
const DIGITS = {
  degrees: 7,
  t_ha: 3,
  bu_ac: 2,
  kg_s: 3,
  l_s: 3,
  pct: 2,
  m_s: 3,
  heading_deg: 1,
  m: 3,
} as const;

/**
 * The text of `points.geojson` in pieces of a few hundred points: one FeatureCollection with `bbox`, one Point a
 * line, no `crs`; properties as the contract names them, absent numbers `null`, yields at the field's standard
 * moisture. A point without a position (only among `all`) has a null geometry, as RFC 7946 §3.2 asks.
 */
export function* geojsonPieces(
  season: Season,
  result: SeasonResult,
  options: GeojsonOptions,
): Generator<string> {
  const box = boundingBox(result.points, options);
  yield `{"type":"FeatureCollection",${box ? `"bbox":[${box.map(degrees).join(',')}],` : ''}"features":[`;
  let separator = '\n';
  let lines: string[] = [];
  for (const points of result.points) {
    const write = featureWriter(season, result, points);
    for (let row = 0; row < points.t_s.length; row++) {
      if (!isWanted(points, row, options)) continue;
      lines.push(separator, write(row));
      separator = ',\n';
      if (lines.length >= 1000) {
        yield lines.join('');
        lines = [];
      }
    }
  }
  yield lines.join('');
  yield '\n]}\n';
}

function isWanted(points: FieldPoints, row: number, options: GeojsonOptions): boolean {
  return options.points === 'all' || points.screened_by[row] === 0;
}

/** What is the same for all points of a field is looked up and quoted once. */
function featureWriter(season: Season, result: SeasonResult, points: FieldPoints): (row: number) => string {
  const crop = findCrop(season, points.crop);
  const bushel_kg = crop.ok ? crop.value.bushel_kg : Number.NaN;
  const field = JSON.stringify(points.field);
  const machines = result.machines.map((machine) => JSON.stringify(machine));
  const loads = result.loads.map((load) => JSON.stringify(load.ticket));
  return (row) => {
    const yield_kg_m2 = points.yield_kg_m2[row];
    const rule = points.screened_by[row];
    const bushels = Number.isFinite(bushel_kg)
      ? `"yield_bu_ac":${fixedJson(buAcFromKgM2(yield_kg_m2, bushel_kg), DIGITS.bu_ac)},`
      : '';
    return (
      `{"type":"Feature","geometry":${geometry(points, row)},"properties":{` +
      `"time":${JSON.stringify(isoFromUnix(result.epoch_utc_s + points.t_s[row]))},` +
      `"field":${field},"machine":${machines[points.machine[row]] ?? 'null'},` +
      `"pass":${points.pass[row] < 0 ? 'null' : points.pass[row]},"load":${loads[points.load[row]] ?? 'null'},` +
      `"yield_t_ha":${fixedJson(tHaFromKgM2(yield_kg_m2), DIGITS.t_ha)},${bushels}` +
      `"yield_se_t_ha":${fixedJson(tHaFromKgM2(points.yield_se_kg_m2[row]), DIGITS.t_ha)},` +
      `"mass_flow_kg_s":${fixedJson(points.mass_flow_kg_s[row], DIGITS.kg_s)},` +
      `"volume_flow_l_s":${fixedJson(lFromM3(points.volume_flow_m3_s[row]), DIGITS.l_s)},` +
      `"moisture_pct":${fixedJson(points.moisture_pct[row], DIGITS.pct)},` +
      `"speed_m_s":${fixedJson(points.speed_m_s[row], DIGITS.m_s)},` +
      `"heading_deg":${headingText(points.heading_rad[row])},` +
      `"cut_width_m":${fixedJson(points.cut_width_m[row], DIGITS.m)},` +
      `"distance_m":${fixedJson(points.distance_m[row], DIGITS.m)},` +
      `"kept":${rule === 0},"screened_by":${rule === 0 ? 'null' : `"${SCREENING_RULES[rule - 1]}"`}}}`
    );
  };
}

function geometry(points: FieldPoints, row: number): string {
  const longitude_deg = points.longitude_deg[row];
  const latitude_deg = points.latitude_deg[row];
  if (!Number.isFinite(longitude_deg) || !Number.isFinite(latitude_deg)) return 'null';
  return `{"type":"Point","coordinates":[${degrees(longitude_deg)},${degrees(latitude_deg)}]}`;
}

function degrees(angle_deg: number): string {
  return fixedJson(angle_deg, DIGITS.degrees);
}

/** 0 ≤ heading < 360, also after rounding. */
function headingText(heading_rad: number): string {
  const heading_deg = ((degFromRad(heading_rad) % 360) + 360) % 360;
  const text = fixedJson(heading_deg, DIGITS.heading_deg);
  return text === '360' ? '0' : text;
}

/**
 * West, south, east, north of the wanted points; `undefined` when none has a position. Points on both sides of the
 * 180° meridian give west > east (RFC 7946 §5.2).
 */
function boundingBox(fields: readonly FieldPoints[], options: GeojsonOptions): number[] | undefined {
  let south = Number.POSITIVE_INFINITY;
  let north = Number.NEGATIVE_INFINITY;
  const plain = { west: Number.POSITIVE_INFINITY, east: Number.NEGATIVE_INFINITY };
  const shifted = { west: Number.POSITIVE_INFINITY, east: Number.NEGATIVE_INFINITY };
  for (const points of fields) {
    for (let row = 0; row < points.t_s.length; row++) {
      const longitude_deg = points.longitude_deg[row];
      const latitude_deg = points.latitude_deg[row];
      if (
        !isWanted(points, row, options) ||
        !Number.isFinite(longitude_deg) ||
        !Number.isFinite(latitude_deg)
      )
        continue;
      south = Math.min(south, latitude_deg);
      north = Math.max(north, latitude_deg);
      widen(plain, longitude_deg);
      widen(shifted, longitude_deg < 0 ? longitude_deg + 360 : longitude_deg);
    }
  }
  if (south > north) return undefined;
  if (plain.east - plain.west <= shifted.east - shifted.west) return [plain.west, south, plain.east, north];
  const signed = (longitude_deg: number) => (longitude_deg > 180 ? longitude_deg - 360 : longitude_deg);
  return [signed(shifted.west), south, signed(shifted.east), north];
}

function widen(span: { west: number; east: number }, longitude_deg: number): void {
  span.west = Math.min(span.west, longitude_deg);
  span.east = Math.max(span.east, longitude_deg);
}
