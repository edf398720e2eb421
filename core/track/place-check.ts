/** Is this the right place at all? Logs of another farm, boundaries in the wrong place, fields in which nobody was. */
import { type DataError, failure, type Notice, type Result, success } from '../errors.ts';
import type { BoundaryPolygons } from '../read/boundaries.ts';
import type { FieldSheet } from '../season.ts';
import type { MachineRecord } from '../signal/machine-record.ts';
import type { GroundSolution } from './field-ground.ts';
import { outlineOf } from './field-visits.ts';
import { geodesicDistance } from './geodesic.ts';

/** What of a season is compared with where its logs were recorded. */
export interface PlacedSeason {
  readonly fields: readonly Pick<FieldSheet, 'name' | 'boundary'>[];
}

/** A boundary further than this from every fix is in the wrong place, m. */
const FAR_M = 2000;
/** Less of the cut ground than this inside its boundary wants a look. */
const MOSTLY_INSIDE = 0.8;

/**
 * Fails when no fix lies in or near any field; otherwise notices for each field without visits and for cutting that lies
 * mostly outside its boundary.
 */
export function placeNotices(
  season: PlacedSeason,
  records: readonly MachineRecord[],
  boundaries: readonly (BoundaryPolygons | undefined)[],
  ground: GroundSolution,
): Result<null> {
  const notices: Notice[] = [];
  let placed = 0;
  for (let f = 0; f < season.fields.length; f++) {
    const { name } = season.fields[f];
    const boundary = boundaries[f];
    const own = ground.fields.find(({ field }) => field === f);
    const share = own === undefined ? Number.NaN : insideShare(own);
    if (share > 0 || (own !== undefined && boundary === undefined)) placed++;
    const look = (code: string, text: string) =>
      notices.push({ code, severity: 'look', source: name, count: 1, text });
    if (boundary !== undefined && !(share > 0)) {
      look('field_not_visited', notVisited(name, boundary, records));
    } else if (own === undefined) {
      look('field_not_visited', notNamed(name, season));
    } else if (Number.isNaN(share)) {
      look(
        'nothing_cut',
        `${name}: a machine was there, but nothing was cut. Check the header switch and the beam.`,
      );
    } else if (share < MOSTLY_INSIDE) {
      look(
        'much_outside_boundary',
        `${name}: ${(100 - 100 * share).toFixed(0)} % of the ground cut there lies outside the boundary. The boundary may be drawn too small or shifted.`,
      );
    }
  }
  if (placed === 0) return failure(nowhere(notices), notices);
  return success(null, notices);
}

function notVisited(name: string, boundary: BoundaryPolygons, records: readonly MachineRecord[]): string {
  const { distance_m, side } = nearestFix(boundary, records);
  if (!Number.isFinite(distance_m)) return `${name}: no log holds a position. Check the receiver.`;
  if (distance_m > FAR_M) {
    return `${name}: no machine was within ${Math.floor(distance_m / 1000)} km of ${boundary.source} (the fixes lie to the ${side}). Check that it is this field's boundary and that longitude and latitude are not swapped.`;
  }
  const logged_s = records.reduce((sum, { fixes: { t_s } }) => sum + (t_s[t_s.length - 1] - t_s[0] || 0), 0);
  return `${name}: no machine cut inside ${boundary.source}, though one came within ${distance_m.toFixed(0)} m of its middle. Check the boundary, and whether the logs hold the harvest: they cover ${Math.ceil(logged_s / 60)} min.`;
}

/** Words for a field without a boundary of which no log entry speaks. */
function notNamed(name: string, season: PlacedSeason): string {
  const others = season.fields.filter((field) => field.boundary === undefined && field.name !== name);
  const why =
    others.length === 0
      ? 'none of the logs was recorded in this field'
      : `it has no boundary, nor has "${others[0].name}", so that the program cannot tell which ground is whose`;
  return `${name}: ${why}. Give it a "boundary", or write "field": "${name}" in the entry of its logs.`;
}

/** Share of the rows that cut which lie inside the boundary. */
function insideShare({ plots }: GroundSolution['fields'][number]): number {
  let cutting = 0;
  let inside = 0;
  for (const { rows, outside } of plots) {
    for (let i = 0; i < outside.length; i++) {
      if (rows.pass[i] < 0) continue;
      cutting++;
      inside += 1 - outside[i];
    }
  }
  return cutting > 0 ? inside / cutting : Number.NaN;
}

/** Distance from the middle of a boundary to the nearest fix (of a thinned sample), and on which side that fix lies; ∞ without fixes. */
function nearestFix(boundary: BoundaryPolygons, records: readonly MachineRecord[]) {
  const { west, east, south, north } = outlineOf(boundary);
  const longitude = (west + east) / 2;
  const latitude = (south + north) / 2;
  let distance_m = Number.POSITIVE_INFINITY;
  let side = '';
  for (const { fixes } of records) {
    const step = Math.max(1, Math.floor(fixes.t_s.length / 500));
    for (let i = 0; i < fixes.t_s.length; i += step) {
      if (Number.isNaN(fixes.latitude_deg[i])) continue;
      const d = geodesicDistance(longitude, latitude, fixes.longitude_deg[i], fixes.latitude_deg[i]);
      if (!(d < distance_m)) continue;
      distance_m = d;
      const dn = fixes.latitude_deg[i] - latitude;
      const de = fixes.longitude_deg[i] - longitude;
      side = Math.abs(dn) > Math.abs(de) ? (dn > 0 ? 'north' : 'south') : de > 0 ? 'east' : 'west';
    }
  }
  return { distance_m, side };
}

function nowhere(notices: readonly Notice[]): DataError {
  const first = notices[0];
  return {
    code: 'no_ground_in_any_field',
    source: first?.source ?? 'season.json',
    text:
      first?.text ??
      'season.json: "fields" lists no field, so there is nowhere to put the grain. Add the field that was cut.',
  };
}
