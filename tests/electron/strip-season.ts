/** An invented season of one field with a trial in strips: one record a second with its flow, a pass a strip. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { localFrame } from '../../core/track/local-frame.ts';
import { Random } from '../synthetic/random.ts';

const FRAME = localFrame(-93.6, 42);
const SPEED_M_S = 2;
const SWATH_M = 9;
const SECONDS_A_PASS = 90;
/** From west to east. */
export const STRIPS = ['A', 'B', 'B', 'A', 'B', 'A', 'A', 'B', 'A', 'B', 'B', 'A'] as const;
/** What B yields more than A, as harvested. */
export const B_MORE_T_HA = 0.6;
const A_T_HA = 9;

/** Passes up and down, side by side, from 14:00 UTC on 3 October 2026, the last four on the next day. */
function flowLog(year: number): string {
  const rows = ['lon,lat,time,flow,moist'];
  const noise = new Random(year, 'flow');
  let t_s = Date.UTC(year, 9, 3, 14) / 1000;
  STRIPS.forEach((treatment, strip) => {
    if (strip === 8) t_s += 18 * 3600;
    for (let k = 0; k < SECONDS_A_PASS; k++) {
      const along_m = (strip % 2 === 0 ? k : SECONDS_A_PASS - 1 - k) * SPEED_M_S;
      const place = FRAME.toGeographic([(strip + 0.5) * SWATH_M], [along_m]);
      const yield_t_ha =
        A_T_HA +
        (treatment === 'B' ? B_MORE_T_HA : 0) +
        0.8 * Math.sin(along_m / 40) +
        0.1 * Math.cos(strip / 3) +
        0.1 * noise.normal();
      const flow_kg_s = (yield_t_ha / 10) * SWATH_M * SPEED_M_S;
      const [lon, lat] = [place.longitude_deg[0], place.latitude_deg[0]];
      rows.push(
        `${lon.toFixed(8)},${lat.toFixed(8)},${t_s++},${flow_kg_s.toFixed(4)},${treatment === 'B' ? 19 : 18}`,
      );
    }
    t_s += 25;
  });
  return `${rows.join('\n')}\n`;
}

/** The ground of a strip, [longitude, latitude], the first corner not repeated. */
function ringOf(strip: number): [number, number][] {
  const [west, east] = [strip * SWATH_M - 0.2, (strip + 1) * SWATH_M + 0.2];
  const north = SECONDS_A_PASS * SPEED_M_S;
  const corners = FRAME.toGeographic([west, east, east, west], [-2, -2, north, north]);
  return [0, 1, 2, 3].map((k) => [corners.longitude_deg[k], corners.latitude_deg[k]]);
}

/** The strips as a file would hold them. */
export function treatmentsGeojson(): string {
  const features = STRIPS.map((treatment, k) => {
    const ring = ringOf(k);
    return {
      type: 'Feature',
      properties: { FID: k, Hybrid: treatment, Rep: Math.floor(k / 2) + 1 },
      geometry: { type: 'Polygon', coordinates: [[...ring, ring[0]]] },
    };
  });
  return `${JSON.stringify({ type: 'FeatureCollection', features })}\n`;
}

/** Writes the season into `folder`; `more` goes into the sheet. */
export function stripSeason(folder: string, more: object = {}, year = 2026): void {
  const sheet = {
    format: 'sheaflight-season/1',
    name: `Strips ${year}`,
    units: 'metric',
    machines: [{ id: 'c1', name: 'combine 1', header: { width_m: SWATH_M } }],
    fields: [{ name: 'Home', crop: 'corn', variety: 'Early' }],
    logs: [{ machine: 'c1', files: ['logs/flow.csv'], mapping: 'flow' }],
    mappings: [
      {
        id: 'flow',
        columns: [
          { quantity: 'longitude', column: 'lon' },
          { quantity: 'latitude', column: 'lat' },
          { quantity: 'time', column: 'time', unit: 'unix_s' },
          { quantity: 'mass_flow', column: 'flow', unit: 'kg/s' },
          { quantity: 'moisture', column: 'moist', unit: '%' },
        ],
      },
    ],
    ...more,
  };
  const files = { 'season.json': `${JSON.stringify(sheet, null, 2)}\n`, 'logs/flow.csv': flowLog(year) };
  for (const [path, text] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), text);
  }
}

/** The trial as drawn on the map. */
export const DRAWN = {
  name: 'Hybrids',
  field: 'Home',
  strips: STRIPS.map((treatment, k) => ({
    treatment,
    replicate: String(Math.floor(k / 2) + 1),
    rings: [ringOf(k)],
  })),
};
