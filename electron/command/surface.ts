/** `sheaflight surface`: the surface and the zones of every field as GeoJSON. */
import { join } from 'node:path';
import { yieldWords } from '../../core/analysis/season-comparisons.ts';
import { type Result, success } from '../../core/errors.ts';
import { collectionPieces } from '../../core/export/formats/geojson.ts';
import { exactBoundsOf } from '../../core/export/formats/layer-values.ts';
import { cellLayer } from '../../core/export/layers/cell-layer.ts';
import type { ExportLayer } from '../../core/export/layers/layer.ts';
import { layerField } from '../../core/export/layers/layer-field.ts';
import { zoneLayer } from '../../core/export/layers/zone-layer.ts';
import type { FieldPoints } from '../../core/result.ts';
import type { Season } from '../../core/season.ts';
import { type YieldZones, yieldZones } from '../../core/surface/field-zones.ts';
import type { SurfaceSheet } from '../../core/surface/surface-sheet.ts';
import { tHaFromKgM2 } from '../../core/units.ts';
import { writeFiles } from '../host/atomic-write.ts';
import { runSeason, type SeasonRun } from '../host/run-season.ts';
import { type FieldSurface, surfaceOfField } from '../host/surface-threads.ts';
import { EXIT, type ExitCode } from './exit-codes.ts';
import { printable } from './printable.ts';
import { refuse } from './refuse.ts';
import { progressLine, type Streams } from './streams.ts';

export interface SurfaceChoices {
  /** `<season folder>/out` when absent. */
  readonly out?: string;
  readonly field?: string;
  /** Instead of what the season says. */
  readonly method?: SurfaceSheet['method'];
  readonly cell?: number;
  readonly quiet?: boolean;
}

interface MadeSurface {
  readonly surface: FieldSurface;
  readonly zones: YieldZones;
  readonly layers: { readonly cells: ExportLayer; readonly zones: ExportLayer };
}

export async function surface(folder: string, choices: SurfaceChoices, streams: Streams): Promise<ExitCode> {
  const progress = progressLine(streams);
  const run = await runSeason(folder, progress.show);
  if (!run.ok) {
    progress.wipe();
    return refuse(run, streams);
  }
  const fields = run.value.result.points.filter(
    ({ field }) => choices.field === undefined || field === choices.field,
  );
  if (fields.length === 0) {
    progress.wipe();
    const known = run.value.result.points.map(({ field }) => `"${field}"`).join(', ');
    const text = `There is no field "${choices.field ?? ''}" with points; there is ${known || 'none'}.`;
    return refuse({ error: { code: 'no_such_field', source: folder, text }, notices: [] }, streams);
  }
  const made: MadeSurface[] = [];
  for (const [k, points] of fields.entries()) {
    progress.show(`surface of ${points.field}`, k / fields.length);
    const one = await madeSurface(run.value, points, choices);
    for (const { text } of one.notices) streams.err(`sheaflight: ${printable(text)}\n`);
    if (one.ok) made.push(one.value);
    else streams.err(`sheaflight: ${printable(one.error.text)}\n`);
  }
  progress.wipe();
  if (made.length === 0) return EXIT.nothing_usable;
  const out = choices.out ?? join(folder, 'out');
  const files = [
    { name: 'surface.geojson', pieces: collection(made.map(({ layers }) => layers.cells)) },
    { name: 'zones.geojson', pieces: collection(made.map(({ layers }) => layers.zones)) },
  ];
  const written = await writeFiles(out, files, { layer: streams.layer });
  if (!written.ok) return refuse(written, streams);
  if (!choices.quiet) {
    for (const one of made) streams.out(`${printable(told(one, run.value.season))}\n`);
    for (const { path } of written.value) streams.out(`${path}\n`);
  }
  return EXIT.done;
}

async function madeSurface(
  { season, result }: SeasonRun,
  points: FieldPoints,
  choices: SurfaceChoices,
): Promise<Result<MadeSurface>> {
  const sheet: SurfaceSheet = {
    ...season.settings?.surface,
    ...(choices.method === undefined ? {} : { method: choices.method }),
    ...(choices.cell === undefined ? {} : { cell_m: choices.cell }),
  };
  const outline = result.outlines[result.points.indexOf(points)] ?? [];
  const made = await surfaceOfField({ points, outline, sheet });
  if (!made.ok) return made;
  const { plan, cells } = made.value;
  const zones = yieldZones(plan.grid, plan.cells, cells.yield_kg_m2, sheet);
  const field = layerField(season, result, result.points.indexOf(points));
  const layers = { cells: cellLayer(field, made.value, 'metric'), zones: zoneLayer(field, zones, 'metric') };
  return success({ surface: made.value, zones, layers }, made.notices);
}

function collection(layers: readonly ExportLayer[]): Generator<string> {
  return collectionPieces(layers, { bounds: exactBoundsOf(layers) });
}

/** One line a field: how its surface was made and how well it foretells passes that it was not told of. */
function told({ surface: { plan, details }, zones, layers }: MadeSurface, season: Season): string {
  const { model, cross_validation: test } = details;
  const by =
    model === null ? '' : ` (${model.shape}, effective range ${details.effective_range_m?.toFixed(0)} m)`;
  const error = test?.rmse_kg_m2 ?? null;
  const { unit, number } = yieldWords(season, layers.cells.crop);
  const passes =
    error === null ? '' : `; passes left out are foretold within ${number(tHaFromKgM2(error))} ${unit} (rms)`;
  const method = details.method.replaceAll('_', ' ');
  return `${layers.cells.field}: ${plan.cells.length} cells of ${plan.grid.cell_m} m by ${method}${by}, ${zones.zones.length} zones${passes}`;
}
