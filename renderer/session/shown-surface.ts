/** A field's surface as it came from the host, and as the map shows points. */
import type { ColumnBlock } from '../../core/column-wire.ts';
import type { FieldPoints } from '../../core/result.ts';
import type { CellGrid } from '../../core/surface/cell-grid.ts';
import type { SurfaceCorners, SurfaceReply } from '../../core/surface/surface-details.ts';

export interface ShownSurface {
  readonly build: string;
  readonly field: string;
  readonly cell_m: number;
  readonly details: SurfaceReply;
  readonly grid: CellGrid;
  /** Place of each row in the grid. */
  readonly cells: Int32Array;
  readonly corners: SurfaceCorners | null;
  /** One row a cell: its middle, its side as length and width, its yield and standard error; the rest absent. */
  readonly columns: FieldPoints;
}

/** Cells as rows that the map can draw: squares that lie side by side. */
export function surfaceFrom({ about, rows, columns }: ColumnBlock, build: string): ShownSurface {
  const cell_m = Number(about.cell_m);
  const column = (name: string) => Float64Array.from(columns.get(name) ?? new Float64Array(rows));
  const absent = new Float64Array(rows).fill(Number.NaN);
  const side_m = new Float64Array(rows).fill(cell_m);
  const field = String(about.field);
  const cells = columns.get('cell');
  const grid: CellGrid = {
    west_m: Number(about.west_m),
    south_m: Number(about.south_m),
    cell_m,
    columns: Number(about.columns),
    rows: Number(about.rows),
  };
  return {
    build,
    field,
    cell_m,
    grid,
    cells: cells instanceof Int32Array ? cells : new Int32Array(rows),
    corners: JSON.parse(String(about.corners)),
    details: JSON.parse(String(about.details)),
    columns: {
      field,
      crop: String(about.crop),
      t_s: absent,
      machine: new Int32Array(rows).fill(-1),
      pass: new Int32Array(rows).fill(-1),
      load: new Int32Array(rows).fill(-1),
      longitude_deg: column('longitude_deg'),
      latitude_deg: column('latitude_deg'),
      east_m: absent,
      north_m: absent,
      heading_rad: new Float64Array(rows),
      speed_m_s: absent,
      distance_m: side_m,
      duration_s: absent,
      cut_width_m: side_m,
      width_se_m: absent,
      fresh_area_m2: new Float64Array(rows).fill(cell_m ** 2),
      mass_kg: absent,
      mass_flow_kg_s: absent,
      volume_flow_m3_s: absent,
      moisture_pct: absent,
      yield_kg_m2: column('yield_kg_m2'),
      yield_se_kg_m2: column('yield_se_kg_m2'),
      screened_by: new Uint8Array(rows),
    },
  };
}
