/** A season that is built in a fraction of a second: one machine, a few passes, one record a second with its flow. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';

const SHEET = {
  format: 'sheaflight-season/1',
  name: 'Small',
  units: 'metric',
  machines: [{ id: 'c1', name: 'combine 1', header: { width_m: 9 } }],
  fields: [{ name: 'Home', crop: 'corn' }],
  logs: [{ machine: 'c1', files: ['logs/flow.csv'], mapping: 'flow' }],
  mappings: [
    {
      id: 'flow',
      columns: [
        { quantity: 'longitude', column: 'lon' },
        { quantity: 'latitude', column: 'lat' },
        { quantity: 'time', column: 'time', unit: 'unix_s' },
        { quantity: 'mass_flow', column: 'flow', unit: 'kg/s' },
      ],
    },
  ],
};

const PASSES = 5;
const SECONDS_A_PASS = 80;
const SPEED_M_S = 2;
const SWATH_M = 9;
/** Of latitude, and of longitude at 42° north; round numbers are near enough here. */
const METRES_A_DEGREE = { latitude: 111_000, longitude: 82_500 };

/** The log: passes up and down, side by side, from 14:00 UTC on 3 October 2026. */
export function flowLog(): string {
  const rows = ['lon,lat,time,flow'];
  let t_s = Date.UTC(2026, 9, 3, 14) / 1000;
  for (let pass = 0; pass < PASSES; pass++) {
    for (let k = 0; k < SECONDS_A_PASS; k++) {
      const along = pass % 2 === 0 ? k : SECONDS_A_PASS - 1 - k;
      const lat = 42 + (along * SPEED_M_S) / METRES_A_DEGREE.latitude;
      const lon = -93.6 + (pass * SWATH_M) / METRES_A_DEGREE.longitude;
      rows.push(`${lon.toFixed(8)},${lat.toFixed(8)},${t_s++},${(14 + Math.sin(k / 9)).toFixed(3)}`);
    }
    t_s += 20;
  }
  return `${rows.join('\n')}\n`;
}

/** Writes the season into `folder`. */
export function smallSeason(folder: string): void {
  const files = { 'season.json': `${JSON.stringify(SHEET, null, 2)}\n`, 'logs/flow.csv': flowLog() };
  for (const [path, text] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), text);
  }
}
