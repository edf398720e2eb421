/** Cells of a field's surface as a layer: squares of the grid that have a yield, each with its standard error. */
import type { CellGrid } from '../../surface/cell-grid.ts';
import type { SurfaceCells } from '../../surface/surface-cells.ts';
import type { SurfacePlan } from '../../surface/surface-plan.ts';
import type { GeographicColumns, LocalFrame } from '../../track/local-frame.ts';
import type { ExportLayer } from './layer.ts';
import type { LayerUnits } from './layer-choice.ts';
import { type LayerField, layerHead, nameColumns } from './layer-field.ts';
import { yieldColumns } from './measured-columns.ts';

/** A surface of a field as it was planned and made. */
export interface LayerSurface {
  readonly plan: Pick<SurfacePlan, 'grid' | 'cells' | 'method'>;
  readonly cells: SurfaceCells;
}

/** Throws RangeError for a field without a position, which has no surface. */
export function cellLayer(
  field: LayerField,
  { plan: { grid, cells: places, method }, cells: made }: LayerSurface,
  units: LayerUnits,
): ExportLayer {
  const { frame, bushel_kg } = field;
  if (frame === undefined)
    throw new RangeError(`field "${field.points.field}" has a surface but no position`);
  const rows = Int32Array.from(places.keys()).filter((k) => Number.isFinite(made.yield_kg_m2[k]));
  const cells = Int32Array.from(rows, (k) => places[k]);
  const real = (column: Float64Array) => Float64Array.from(rows, (k) => column[k]);
  return {
    kind: 'cells',
    ...layerHead(field),
    rows: rows.length,
    geometry: { kind: 'polygon', rings: cellRings(frame, grid, cells) },
    raster: { grid, cells, longitude0_deg: frame.longitude0_deg, latitude0_deg: frame.latitude0_deg },
    columns: [
      ...nameColumns(field, rows.length),
      ...yieldColumns(real(made.yield_kg_m2), bushel_kg, units, {
        name: 'yield',
        short_name: 'yld',
        about: "Mean yield of the cell at the field's standard moisture.",
      }),
      ...yieldColumns(real(made.yield_se_kg_m2), bushel_kg, units, {
        name: 'yield_se',
        short_name: 'yse',
        about: 'Standard error of the mean yield of the cell.',
      }),
      {
        kind: 'text',
        name: 'method',
        short_name: 'method',
        about: 'How the surface was made from the points.',
        words: [method],
        codes: new Int32Array(rows.length),
      },
    ],
  };
}

/**
 * Rings in degrees of `cells` of the grid, by row. Corners of the whole grid are placed once, when the first ring is asked for: most of
 * them are those of four cells.
 */
export function cellRings(
  frame: LocalFrame,
  grid: CellGrid,
  cells: Int32Array,
): (row: number) => readonly Float64Array[] {
  let lattice: GeographicColumns | undefined;
  const across = grid.columns + 1;
  return (row) => {
    lattice ??= gridCorners(frame, grid);
    const column = cells[row] % grid.columns;
    const southWest = ((cells[row] - column) / grid.columns) * across + column;
    const ring = new Float64Array(10);
    [southWest, southWest + 1, southWest + 1 + across, southWest + across, southWest].forEach((at, k) => {
      ring[2 * k] = lattice?.longitude_deg[at] ?? Number.NaN;
      ring[2 * k + 1] = lattice?.latitude_deg[at] ?? Number.NaN;
    });
    return [ring];
  };
}

function gridCorners(frame: LocalFrame, grid: CellGrid): GeographicColumns {
  const across = grid.columns + 1;
  const count = across * (grid.rows + 1);
  const east_m = new Float64Array(count);
  const north_m = new Float64Array(count);
  for (let k = 0; k < count; k++) {
    east_m[k] = grid.west_m + (k % across) * grid.cell_m;
    north_m[k] = grid.south_m + Math.floor(k / across) * grid.cell_m;
  }
  return frame.toGeographic(east_m, north_m);
}
