import { describe, expect, it } from 'vitest';
import type { FlowLogColumns } from '../../../core/read/logger-run.ts';
import { groundFromRecords, type RecordGround } from '../../../core/track/ground-from-records.ts';

const NAN = Number.NaN;

/** Records a second apart, 2 m north each, 9 m wide; `known` overlays columns. */
function ground(
  count: number,
  known: Partial<FlowLogColumns> = {},
  change: Partial<RecordGround> = {},
  t_s = Float64Array.from({ length: count }, (_, i) => i + 1),
) {
  const of = (x: number) => new Float64Array(count).fill(x);
  const index = Float64Array.from({ length: count }, (_, i) => i);
  const columns = {
    heading_deg: of(NAN),
    distance_m: of(2),
    speed_m_s: of(NAN),
    swath_m: of(NAN),
    up: of(NAN),
    quality: of(NAN),
    ...known,
  } as unknown as FlowLogColumns;
  return groundFromRecords({
    records: { columns, t_s, interval_s: of(1) },
    rows: Int32Array.from(index),
    east_m: of(0),
    north_m: index.map((i) => 2 * i),
    antenna: undefined,
    header_width_m: 9,
    ...change,
  });
}
const at = (count: number, rows: { readonly [row: number]: number }, otherwise = NAN) =>
  Float64Array.from({ length: count }, (_, i) => rows[i] ?? otherwise);

describe('ground from records', () => {
  it('is the ribbon that ends at the position', () => {
    const rows = ground(3);
    expect([...rows.t0_s]).toEqual([0, 1, 2]);
    expect([...rows.t1_s]).toEqual([1, 2, 3]);
    expect([rows.north0_m[1], rows.north1_m[1]]).toEqual([0, 2]);
    expect([...rows.heading0_rad]).toEqual([0, 0, 0]);
    expect([...rows.speed_m_s]).toEqual([2, 2, 2]);
    expect([...rows.header_width_m]).toEqual([9, 9, 9]);
    expect([...rows.pass]).toEqual([0, 0, 0]);
  });

  it('has the logged width and heading, and the antenna’s place', () => {
    // heading east; the antenna stands 3 m behind the cut and 1 m right of the middle
    const antenna = { ahead_of_cut_m: -3, right_of_centre_m: 1 };
    const known = { heading_deg: at(3, {}, 90), swath_m: at(3, { 1: 6 }) };
    const rows = ground(3, known, { antenna });
    expect(rows.east1_m[0]).toBeCloseTo(3, 12);
    expect(rows.north1_m[0]).toBeCloseTo(1, 12);
    expect(rows.east0_m[0]).toBeCloseTo(1, 12);
    expect([...rows.header_width_m]).toEqual([9, 6, 9]);
  });

  it('measures the way by distance, else speed, else positions', () => {
    const distance_m = at(4, { 0: 1.5 });
    const rows = ground(4, { distance_m, speed_m_s: at(4, { 1: 1.8 }) });
    expect([...rows.distance_m]).toEqual([1.5, 1.8, 2, 2]);
    expect(ground(1, { distance_m: at(1, {}) }).distance_m[0]).toBeNaN();
    expect([...ground(1, { distance_m: at(1, {}) }).pass]).toEqual([-1]);
  });

  it('begins a pass after a pause, a sharp turn, and when the header goes down', () => {
    const passes = (known: Partial<FlowLogColumns>, t_s = Float64Array.of(1, 2, 3, 4)) => [
      ...ground(4, { heading_deg: at(4, {}, 0), ...known }, {}, t_s).pass,
    ];
    expect(passes({}, Float64Array.of(1, 2, 9, 10))).toEqual([0, 0, 1, 1]);
    expect(passes({ heading_deg: Float64Array.of(0, 0, 180, 180) })).toEqual([0, 0, 1, 1]);
    expect(passes({ up: Float64Array.of(0, 1, 0, 0) })).toEqual([0, -1, 1, 1]);
  });

  it('cuts nothing without position, fix, way or width', () => {
    const rows = ground(
      5,
      { quality: at(5, { 1: 0 }, 4), distance_m: at(5, { 2: 0 }, 2), swath_m: at(5, { 3: 0 }, 9) },
      { east_m: at(5, { 0: NAN }, 0) },
    );
    expect([...rows.pass]).toEqual([-1, -1, -1, -1, 0]);
    expect([...rows.no_fix]).toEqual([1, 1, 0, 0, 0]);
  });

  it('takes the direction of its neighbours, also over a lone record', () => {
    const north_m = Float64Array.of(0, 2, 4, 4.1, 4.1);
    const rows = ground(5, {}, { north_m, east_m: Float64Array.of(0, 0, 0, 0, 0) });
    expect([...rows.heading0_rad]).toEqual([0, 0, 0, 0, 0]);
    const still = ground(2, {}, { north_m: Float64Array.of(0, 0) });
    expect([...still.heading0_rad]).toEqual([NAN, NAN]);
    expect([...still.pass]).toEqual([-1, -1]);
  });

  it('of no record is nothing', () => {
    expect(ground(0).t0_s).toHaveLength(0);
  });
});
