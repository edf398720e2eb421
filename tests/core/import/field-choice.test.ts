/** Fields found by their tracks. */
import { describe, expect, it } from 'vitest';
import { type BoundedField, chooseFields } from '../../../core/import/field-choice.ts';
import type { LogOutline } from '../../../core/import/log-outline.ts';
import { joinSamples } from '../../../core/import/track-samples.ts';
import type { BoundaryPolygons } from '../../../core/read/boundaries.ts';
import type { Ticket } from '../../../core/read/ticket.ts';
import { isInside, outlineOf } from '../../../core/track/field-visits.ts';
import { geodesicPolygonArea } from '../../../core/track/geodesic.ts';
import { localFrame } from '../../../core/track/local-frame.ts';
import { fieldSamples, LATITUDE, LONGITUDE, roadSamples, tickLog } from './made-logs.ts';

const MONDAY = Date.parse('2026-10-05T15:00:00Z') / 1000;
const THURSDAY = MONDAY + 3 * 86_400;
const WEST = { east_m: -400, north_m: 0 };
const EAST = { east_m: 400, north_m: 50 };

function choose(
  logs: readonly LogOutline[],
  known: readonly BoundedField[] = [],
  hints: { tickets?: readonly Ticket[]; claimed?: string; unboundedLogs?: ReadonlySet<string> } = {},
) {
  return chooseFields(logs, known, { tickets: [], unboundedLogs: new Set(), ...hints });
}

function ticket(field: string | undefined, start_utc_s = Number.NaN, end_utc_s = Number.NaN): Ticket {
  return {
    ticket: '1',
    ...(field === undefined ? {} : { field }),
    start_utc_s,
    end_utc_s,
    gross_kg: Number.NaN,
    tare_kg: Number.NaN,
    net_kg: 9000,
    moisture_pct: 15,
    bulk_density_kg_m3: Number.NaN,
    source: 'tickets.csv',
    line: 2,
  };
}

/** A rectangle about a point, m. */
function rectangle(east_m: number, north_m: number, half_m: number): BoundaryPolygons {
  const frame = localFrame(LONGITUDE, LATITUDE);
  const corners = [
    [-1, -1],
    [1, -1],
    [1, 1],
    [-1, 1],
    [-1, -1],
  ];
  const { longitude_deg, latitude_deg } = frame.toGeographic(
    corners.map(([e]) => east_m + e * half_m),
    corners.map(([, n]) => north_m + n * half_m),
  );
  const ring = Float64Array.from(corners.flatMap((_, k) => [longitude_deg[k], latitude_deg[k]]));
  return { source: 'field.geojson', polygons: [[ring]] };
}

function area_m2({ polygons }: BoundaryPolygons): number {
  return polygons.reduce((sum, [ring]) => {
    const longitude = ring.filter((_, k) => k % 2 === 0);
    const latitude = ring.filter((_, k) => k % 2 === 1);
    return sum + geodesicPolygonArea(longitude, latitude).area_m2;
  }, 0);
}

describe('fields without boundaries', () => {
  const west = fieldSamples(MONDAY, WEST);
  const east = fieldSamples(THURSDAY, EAST);
  const road = roadSamples(MONDAY + 7000, [-300, 0], [300, 50], 4);
  const logs = [tickLog('one.log', joinSamples([west, road]), 1e6), tickLog('two.log', east, 5e6)];

  it('are told apart by where they lie, and called by their first days', () => {
    const { found, ofLog } = choose(logs);
    expect(found.map(({ name, logs: own, isNamed }) => [name, own, isNamed])).toEqual([
      ['Field 1 (2026-10-05)', ['one.log'], false],
      ['Field 2 (2026-10-08)', ['two.log'], false],
    ]);
    expect(ofLog.get('one.log')).toEqual(['Field 1 (2026-10-05)']);
    expect(ofLog.get('two.log')).toEqual(['Field 2 (2026-10-08)']);
  });

  it('get outlines around all that was worked, with room to spare, and without the road', () => {
    const { found } = choose(logs);
    [west, east].forEach((samples, f) => {
      const outline = outlineOf(found[f].boundary);
      const inside = samples.utc_s.filter((_, i) =>
        isInside(outline, samples.longitude_deg[i], samples.latitude_deg[i]),
      );
      expect(inside.length).toBe(samples.utc_s.length);
      // 180 m by 240 m, and some 40 to 60 m around
      expect(area_m2(found[f].boundary)).toBeGreaterThan(180 * 240);
      expect(area_m2(found[f].boundary)).toBeLessThan(300 * 360);
    });
    const frame = localFrame(LONGITUDE, LATITUDE).toGeographic([0], [25]);
    for (const { boundary } of found) {
      expect(isInside(outlineOf(boundary), frame.longitude_deg[0], frame.latitude_deg[0])).toBe(false);
    }
  });

  it('side by side do not overlap', () => {
    const near = fieldSamples(THURSDAY, { east_m: -400 + 180 + 90, north_m: 0 });
    const { found } = choose([tickLog('a', west, 1), tickLog('b', near, 9e9)]);
    expect(found).toHaveLength(2);
    const all = joinSamples([west, near]);
    const owners = Array.from(
      all.utc_s,
      (_, i) =>
        found.filter(({ boundary }) =>
          isInside(outlineOf(boundary), all.longitude_deg[i], all.latitude_deg[i]),
        ).length,
    );
    expect(new Set(owners)).toEqual(new Set([1]));
  });

  it('are called as the tickets of their time say, or as their rows do, or as was said', () => {
    const tickets = [ticket('Owl Bottom', THURSDAY, THURSDAY + 3000), ticket('Mill', MONDAY, MONDAY + 3000)];
    expect(choose(logs, [], { tickets }).found.map(({ name }) => name)).toEqual(['Mill', 'Owl Bottom']);
    const rows = [{ ...logs[0], fields: ['F16'] }, logs[1]];
    expect(choose(rows).found.map(({ name }) => name)).toEqual(['F16', 'Field 2 (2026-10-08)']);
    expect(choose(logs, [], { claimed: 'Home' }).found.map(({ name }) => name)).toEqual(['Home 1', 'Home 2']);
    expect(choose(logs.slice(1), [], { claimed: 'Home' }).found[0].name).toBe('Home');
  });

  it('a ticket without times names the only field, and none of several', () => {
    expect(choose(logs.slice(1), [], { tickets: [ticket('Owl Bottom')] }).found[0].name).toBe('Owl Bottom');
    expect(choose(logs, [], { tickets: [ticket('Owl Bottom')] }).found[0].name).toBe('Field 1 (2026-10-05)');
  });

  it('what lies in a boundary is no new field', () => {
    const known = [{ name: 'West', boundary: rectangle(-400, 0, 150) }];
    const { found, ofLog } = choose(logs, known);
    expect(found.map(({ name }) => name)).toEqual(['Field 1 (2026-10-08)']);
    expect(ofLog.get('one.log')).toEqual(['West']);
  });

  it('a boundary drawn a little small makes no field of the rest', () => {
    const known = [{ name: 'West', boundary: rectangle(-400, 0, 105) }];
    expect(choose(logs.slice(0, 1), known).found).toEqual([]);
  });

  it('the only field without a boundary takes the ground of its own logs', () => {
    const known = [{ name: 'Home', boundary: undefined }];
    const own = choose(logs, known, { unboundedLogs: new Set(['two.log']) });
    expect(own.found.map(({ name }) => name)).toEqual(['Field 1 (2026-10-05)']);
    expect(own.ofLog.get('two.log')).toEqual(['Home']);
  });

  it('nothing is found on a road or in a yard', () => {
    const yard = fieldSamples(MONDAY, { east_m: 0, north_m: 0, width_m: 20, length_m: 30 });
    const slow = roadSamples(MONDAY, [-900, 0], [900, 0], 4);
    expect(choose([tickLog('a', joinSamples([slow, yard]), 1)]).found).toEqual([]);
    expect(choose([])).toEqual({ found: [], ofLog: new Map() });
  });
});
