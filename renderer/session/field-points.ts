/** From the host's block of columns to the points of a field. */
import type { ColumnBlock } from '../../core/column-wire.ts';
import type { FieldPoints } from '../../core/result.ts';

const FLOATS = [
  't_s',
  'longitude_deg',
  'latitude_deg',
  'east_m',
  'north_m',
  'heading_rad',
  'speed_m_s',
  'distance_m',
  'duration_s',
  'cut_width_m',
  'width_se_m',
  'fresh_area_m2',
  'mass_kg',
  'mass_flow_kg_s',
  'volume_flow_m3_s',
  'moisture_pct',
  'yield_kg_m2',
  'yield_se_kg_m2',
] as const;
const INTEGERS = ['machine', 'pass', 'load'] as const;

/**
 * The block as `FieldPoints`; columns that it does not have are all absent. Throws RangeError when the reasons are
 * missing, without which nobody knows which points count.
 */
export function fieldPointsFrom(block: ColumnBlock): FieldPoints {
  const screened_by = block.columns.get('screened_by');
  if (!(screened_by instanceof Uint8Array)) throw new RangeError('a block of points without "screened_by"');
  const floats = FLOATS.map((name) => [name, floatColumn(block, name)] as const);
  const integers = INTEGERS.map((name) => [name, integerColumn(block, name)] as const);
  return {
    field: String(block.about.field ?? ''),
    crop: String(block.about.crop ?? ''),
    ...(Object.fromEntries(floats) as Record<(typeof FLOATS)[number], Float64Array>),
    ...(Object.fromEntries(integers) as Record<(typeof INTEGERS)[number], Int32Array>),
    screened_by,
  };
}

function floatColumn(block: ColumnBlock, name: string): Float64Array {
  const column = block.columns.get(name);
  if (column instanceof Float64Array) return column;
  return column === undefined ? new Float64Array(block.rows).fill(Number.NaN) : Float64Array.from(column);
}

function integerColumn(block: ColumnBlock, name: string): Int32Array {
  const column = block.columns.get(name);
  if (column instanceof Int32Array) return column;
  return column === undefined ? new Int32Array(block.rows).fill(-1) : Int32Array.from(column);
}
