/** Layers of every kind, made of the made-up season as an export makes them. */
import type { LayerSet } from '../../../../core/export/formats/format.ts';
import { cellLayer, type LayerSurface } from '../../../../core/export/layers/cell-layer.ts';
import type { ExportLayer, LayerKind } from '../../../../core/export/layers/layer.ts';
import type { LayerUnits } from '../../../../core/export/layers/layer-choice.ts';
import { layerField } from '../../../../core/export/layers/layer-field.ts';
import { pointLayer } from '../../../../core/export/layers/point-layer.ts';
import { swathLayer } from '../../../../core/export/layers/swath-layer.ts';
import { zoneLayer } from '../../../../core/export/layers/zone-layer.ts';
import type { FieldPoints, SeasonResult } from '../../../../core/result.ts';
import type { CellGrid } from '../../../../core/surface/cell-grid.ts';
import { yieldZones } from '../../../../core/surface/field-zones.ts';
import { SEASON } from '../season-fixture.ts';

/** A slope from south-west to north-east with cells missing along its southern edge and one in the middle. */
export function slope(columns: number, rows: number, cell_m = 10): LayerSurface {
  const grid: CellGrid = { west_m: -20, south_m: 40, cell_m, columns, rows };
  const middle = Math.floor(rows / 2) * columns + Math.floor(columns / 2);
  const cells = Int32Array.from({ length: columns * (rows - 1) }, (_, k) => k + columns).filter(
    (cell) => cell !== middle,
  );
  const yield_kg_m2 = Float64Array.from(
    cells,
    (cell) => 0.5 + (cell % columns) / columns + Math.floor(cell / columns) / rows / 3,
  );
  return {
    plan: { grid, cells, method: 'kriging' },
    cells: { yield_kg_m2, yield_se_kg_m2: yield_kg_m2.map((kg_m2) => kg_m2 / 20) },
  };
}

/** A layer of each kind for each field of the season. */
export function madeLayers(
  result: SeasonResult,
  units: LayerUnits,
  points: 'kept' | 'all' = 'kept',
): Readonly<Record<LayerKind, readonly ExportLayer[]>> {
  const fields = [...result.points.keys()].map((place) => layerField(SEASON, result, place));
  const surface = slope(12, 9);
  const { grid, cells } = surface.plan;
  const zones = yieldZones(grid, cells, surface.cells.yield_kg_m2);
  return {
    points: fields.map((field) => pointLayer(field, result, { points, units })),
    swaths: fields.map((field) => swathLayer(field, result, { points, units })),
    cells: fields.map((field) => cellLayer(field, surface, units)),
    zones: fields.map((field) => zoneLayer(field, zones, units)),
  };
}

/** The same as sets of all fields. */
export function madeSets(
  result: SeasonResult,
  units: LayerUnits,
  points: 'kept' | 'all' = 'kept',
): LayerSet[] {
  const layers = madeLayers(result, units, points);
  return (['points', 'swaths', 'cells', 'zones'] as const).map((kind) => ({
    stem: `heron-${kind}`,
    kind,
    layers: layers[kind],
  }));
}

/** The first passes of each field alone: foreign checkers take their time. */
export function fewPoints(result: SeasonResult, rows = 400): SeasonResult {
  const first = (points: FieldPoints): FieldPoints => {
    const columns = Object.entries(points).map(([name, column]) => [
      name,
      ArrayBuffer.isView(column) ? (column as Float64Array).slice(0, rows) : column,
    ]);
    return { ...points, ...Object.fromEntries(columns) };
  };
  return { ...result, points: result.points.map(first) };
}
