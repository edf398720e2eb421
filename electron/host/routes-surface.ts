/** The route of a field's surface: made when it is first asked for, and kept as long as the result that it was made from. */
import * as z from 'zod';
import { COLUMN_WIRE_TYPE, type ColumnArray, encodeColumns } from '../../core/column-wire.ts';
import { failure, type Result, success } from '../../core/errors.ts';
import type { FieldPoints } from '../../core/result.ts';
import { cellEast_m, cellNorth_m, gridCorners } from '../../core/surface/cell-grid.ts';
import { frameOfPoints } from '../../core/surface/points-frame.ts';
import type { SurfaceCorners } from '../../core/surface/surface-details.ts';
import type { SurfacePlan } from '../../core/surface/surface-plan.ts';
import type { SurfaceSheet } from '../../core/surface/surface-sheet.ts';
import { surfaceSchema } from '../../core/surface-schema.ts';
import type { HostServices, RouteHandlers } from './host-services.ts';
import { keptSurface } from './kept-surfaces.ts';
import { bytesReply } from './replies.ts';
import { notOpen } from './routes-seasons.ts';
import type { BuiltSeason } from './season-sessions.ts';

export const SURFACE_ROUTES: RouteHandlers<'readSurface' | 'makeSurface'> = {
  makeSurface: async ({ host, steps, body }) => {
    const found = askedField(host, steps);
    if (!found.ok) return found;
    const { built, field } = found.value;
    const job = host.jobs.start(steps.season, 'surface', async ({ progress, signal }) => {
      const surface = await keptSurface(built.run.result, field, body, { signal, onProgress: progress });
      return surface.ok ? success(undefined) : surface;
    });
    return success(job);
  },

  readSurface: async ({ host, steps, query }) => {
    const found = askedField(host, steps);
    if (!found.ok) return found;
    const { built, field, points } = found.value;
    const sheet = askedSheet(query.get('settings'), built.run.season.settings?.surface);
    if (!sheet.ok) return sheet;
    const surface = await keptSurface(built.run.result, field, sheet.value);
    if (!surface.ok) return surface;
    const { plan, details, cells } = surface.value;
    const { grid } = plan;
    const about = {
      field: points.field,
      crop: points.crop,
      revision: built.revision,
      ...grid,
      corners: JSON.stringify(cornersOf(points, plan)),
      details: JSON.stringify({ ...details, notices: surface.notices }),
    };
    const columns = new Map<string, ColumnArray>([
      ['cell', plan.cells],
      ...middlesOf(points, plan),
      ['yield_kg_m2', cells.yield_kg_m2],
      ['yield_se_kg_m2', cells.yield_se_kg_m2],
    ]);
    const block = encodeColumns({ about, rows: plan.cells.length, columns });
    return bytesReply(block as Uint8Array<ArrayBuffer>, COLUMN_WIRE_TYPE);
  },
};

interface AskedField {
  readonly built: BuiltSeason;
  readonly field: number;
  readonly points: FieldPoints;
}

/** The field of a result that is still there. */
function askedField(host: HostServices, steps: Readonly<Record<string, string>>): Result<AskedField> {
  const session = host.sessions.get(steps.season);
  if (session === undefined) return failure(notOpen());
  const { built: last, preview } = session;
  const built = [last, preview].find((one) => one?.build === steps.build);
  if (built === undefined) {
    const text = 'There is a newer result than the one that this surface was asked for; read it first.';
    return failure({ code: 'other_build', source: steps.build, text });
  }
  const field = Number(steps.field);
  const points = built.run.result.points[field];
  if (points !== undefined) return success({ built, field, points });
  const text = `The result has no field number ${steps.field}.`;
  return failure({ code: 'no_result', source: steps.field, text });
}

/** Where the middles of the cells are, for who draws them. */
function middlesOf(points: FieldPoints, { grid, cells }: SurfacePlan): [string, ColumnArray][] {
  const frame = frameOfPoints(points);
  if (frame === undefined) return [];
  const east_m = Float64Array.from(cells, (cell) => cellEast_m(grid, cell));
  const north_m = Float64Array.from(cells, (cell) => cellNorth_m(grid, cell));
  return Object.entries(frame.toGeographic(east_m, north_m));
}

function cornersOf(points: FieldPoints, { grid }: SurfacePlan): SurfaceCorners | null {
  const frame = frameOfPoints(points);
  return frame === undefined ? null : gridCorners(frame, grid);
}

/** What was asked for in the query, else the season's own. */
function askedSheet(asked: string | null, own: SurfaceSheet = {}): Result<SurfaceSheet> {
  if (asked === null) return success(own);
  let found: unknown;
  try {
    found = JSON.parse(asked);
  } catch {
    return failure({
      code: 'bad_request',
      source: 'settings',
      text: 'The settings of the surface are no JSON.',
    });
  }
  const sheet = surfaceSchema.safeParse(found);
  if (sheet.success) return success(sheet.data);
  const text = `The settings of the surface cannot be used: ${z.prettifyError(sheet.error)}.`;
  return failure({ code: 'bad_request', source: 'settings', text });
}
