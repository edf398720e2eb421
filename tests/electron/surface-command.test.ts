import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { FeatureCollection, Polygon } from 'geojson';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { geodesicPolygonArea } from '../../core/track/geodesic.ts';
import { runCommand } from './command-run.ts';
import { smallSeason } from './host/small-season.ts';

let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sheaflight-surface-'));
  smallSeason(folder);
});

afterEach(() => rmSync(folder, { recursive: true, force: true }));

const command = (...args: readonly string[]) => runCommand(['surface', folder, ...args]);

function written(name: string): FeatureCollection<Polygon> {
  return JSON.parse(readFileSync(join(folder, 'out', name), 'utf8'));
}

/** Outer rings counter-clockwise, holes clockwise, all closed [RFC 7946 §3.1.6]; the area in m². */
function area_m2(polygon: Polygon): number {
  return polygon.coordinates.reduce((sum, ring, k) => {
    expect(ring.at(-1)).toEqual(ring[0]);
    const open = ring.slice(0, -1);
    const ringArea_m2 = geodesicPolygonArea(
      open.map(([longitude]) => longitude),
      open.map(([, latitude]) => latitude),
    ).area_m2;
    expect(ringArea_m2 > 0).toBe(k === 0);
    return sum + ringArea_m2;
  }, 0);
}

describe('sheaflight surface', () => {
  it('writes cells and zones that cover the same ground', async () => {
    const { code, out, err } = await command();
    expect([code, err]).toEqual([0, '']);
    expect(out).toMatch(
      /^Home: \d+ cells of 5 m by kriging \(\w+, effective range \d+ m\), \d+ zones; passes left out/,
    );
    const cells = written('surface.geojson');
    const zones = written('zones.geojson');
    expect(cells.features[0].properties).toMatchObject({ field: 'Home', crop: 'corn', method: 'kriging' });
    expect(zones.features[0].properties).toMatchObject({ field: 'Home', class_from_t_ha: expect.anything() });
    const covered_m2 = cells.features.reduce((sum, { geometry }) => sum + area_m2(geometry), 0);
    const zoned_m2 = zones.features.reduce((sum, { geometry }) => sum + area_m2(geometry), 0);
    // degrees are written to a centimetre
    expect(covered_m2 / (25 * cells.features.length)).toBeCloseTo(1, 2);
    expect(zoned_m2 / covered_m2).toBeCloseTo(1, 3);
    const said_ha = zones.features.reduce((sum, { properties }) => sum + properties?.area_ha, 0);
    expect((10_000 * said_ha) / (25 * cells.features.length)).toBeCloseTo(1, 3);
    const [west, south, east, north] = cells.bbox ?? [0, 0, 0, 0];
    for (const { geometry } of cells.features) {
      for (const [longitude, latitude] of geometry.coordinates[0]) {
        expect(longitude >= west && longitude <= east && latitude >= south && latitude <= north).toBe(true);
      }
    }
  });

  it('takes method and cell from the command line', async () => {
    const { code, out } = await command('--method', 'block_mean', '--cell', '20', '--field', 'Home');
    expect(code).toBe(0);
    expect(out).toMatch(/^Home: \d+ cells of 20 m by block mean, \d+ zones\n/);
    expect(written('surface.geojson').features.length).toBeLessThan(40);
  });

  it('says which fields there are, and what a cell may be', async () => {
    expect(await command('--field', 'Away')).toMatchObject({
      code: 2,
      err: expect.stringContaining('there is "Home"'),
    });
    expect(await command('--cell', '0')).toEqual({
      code: 2,
      out: '',
      err: "sheaflight: --cell '0': Give the side of a cell in metres, 0.5 to 500; --help shows all.\n",
    });
    expect(await command('--out', '')).toEqual({
      code: 2,
      out: '',
      err: "sheaflight: --out '': Give the name of a folder; --help shows all.\n",
    });
    expect(existsSync(join(folder, 'out'))).toBe(false);
  });

  it('tells errors in the units of the season, and takes its sheet for its folder', async () => {
    const sheet = join(folder, 'season.json');
    writeFileSync(sheet, readFileSync(sheet, 'utf8').replace('"units": "metric"', '"units": "us"'));
    const { code, out } = await runCommand(['surface', sheet]);
    expect(code).toBe(0);
    expect(out).toMatch(/foretold within \d+\.\d bu\/ac \(rms\)\n/);
    expect(written('surface.geojson').features.length).toBeGreaterThan(0);
  });
});
