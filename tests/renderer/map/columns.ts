/** Small fields made by hand for the window's tests. */
import type { FieldPoints } from '../../../core/result.ts';

type Given = Partial<{
  readonly [Name in keyof FieldPoints]: FieldPoints[Name] extends string ? string : ArrayLike<number>;
}>;

/** Columns of `rows` rows: 10 m by 2 m swaths that go north, side by side, one second each; what is given goes before that. */
export function fieldOf(rows: number, given: Given = {}): FieldPoints {
  const floats = (of: (row: number) => number) => Float64Array.from({ length: rows }, (_, row) => of(row));
  const column = (name: keyof FieldPoints, of: (row: number) => number) => {
    const written = given[name];
    return written !== undefined && typeof written !== 'string' ? Float64Array.from(written) : floats(of);
  };
  const whole = (name: 'machine' | 'pass' | 'load', usual: number) =>
    given[name] ? Int32Array.from(given[name]) : new Int32Array(rows).fill(usual);
  return {
    field: 'Home',
    crop: 'corn',
    t_s: column('t_s', (row) => row),
    machine: whole('machine', 0),
    pass: whole('pass', 0),
    load: whole('load', -1),
    longitude_deg: column('longitude_deg', (row) => -93 + row * 1e-4),
    latitude_deg: column('latitude_deg', () => 42),
    east_m: column('east_m', () => 0),
    north_m: column('north_m', () => 0),
    heading_rad: column('heading_rad', () => 0),
    speed_m_s: column('speed_m_s', () => 2),
    distance_m: column('distance_m', () => 2),
    duration_s: column('duration_s', () => 1),
    cut_width_m: column('cut_width_m', () => 10),
    width_se_m: column('width_se_m', () => 0.2),
    fresh_area_m2: column('fresh_area_m2', () => 20),
    mass_kg: column('mass_kg', () => 20),
    mass_flow_kg_s: column('mass_flow_kg_s', () => 20),
    volume_flow_m3_s: column('volume_flow_m3_s', () => 0.03),
    moisture_pct: column('moisture_pct', () => 15),
    yield_kg_m2: column('yield_kg_m2', () => 1),
    yield_se_kg_m2: column('yield_se_kg_m2', () => 0.05),
    screened_by: given.screened_by ? Uint8Array.from(given.screened_by) : new Uint8Array(rows),
  };
}
