/** Fields, frames and visits of made records; how much of a row is fresh is tested with the cut width. */
import { describe, expect, it } from 'vitest';
import type { BoundaryPolygons } from '../../../core/read/boundaries.ts';
import type { Season } from '../../../core/season.ts';
import type { MachineGrain } from '../../../core/signal/grain-of-machine.ts';
import type { MachineRecord } from '../../../core/signal/machine-record.ts';
import { groundOfFields } from '../../../core/track/field-ground.ts';
import { timedFixes } from '../signal/made-fixes.ts';

/** Degrees of a metre north, near enough here. */
const M_DEG = 1 / 111_000;
const machine = { id: 'c1', name: 'c1', header: { width_m: 9 } };
const season = (names: readonly string[]) =>
  ({ machines: [machine], fields: names.map((name) => ({ name })) }) as unknown as Season;
const square = (south_m: number, side_m = 300) =>
  ({
    source: 'a.geojson',
    polygons: [
      [
        Float64Array.of(-1, 0, 1, 0, 1, 1, -1, 1).map((x, k) =>
          k % 2 === 0 ? -93 + x * side_m * M_DEG : 42 + (south_m + x * side_m) * M_DEG,
        ),
      ],
    ],
  }) as unknown as BoundaryPolygons;

/** Driving north at 2 m/s along −93°, a fix a second, from `from_m`; the header as given. */
function record(
  from_m: number,
  count: number,
  header: { t_s: number[]; up: number[] },
  start_s = 0,
): MachineRecord {
  const steps = Array.from({ length: count }, (_, i) => i);
  return {
    machine: 0,
    source: 'c1.log',
    fixes: timedFixes(
      steps.map((i) => start_s + i),
      {
        latitude_deg: steps.map((i) => 42 + (from_m + 2 * i) * M_DEG),
        longitude_deg: steps.map(() => -93),
        speed_m_s: steps.map(() => 2),
        course_deg: steps.map(() => 0),
        quality: steps.map(() => 4),
      },
    ),
    field_hint: new Int32Array(count).fill(-1),
    header: { t_s: Float64Array.from(header.t_s), up: Uint8Array.from(header.up) },
    grain: { kind: 'paddles' },
  } as unknown as MachineRecord;
}
const grain = {
  passage: { t_s: new Float64Array(), cumulative: new Float64Array(), basis: 'volume' },
} as unknown as MachineGrain;
const CUTS = { t_s: [-10, -5], up: [1, 0] };

describe('ground of fields', () => {
  it('is shared out by boundary, each field in its own frame', () => {
    // 100 m in the first field, the gap, and 100 m in the second
    const { fields, notices } = groundOfFields(
      season(['A', 'B']),
      [record(0, 300, CUTS)],
      [grain],
      [square(0, 200), square(400, 200)],
    );
    expect(fields.map(({ field }) => field)).toEqual([0, 1]);
    expect(fields[1].frame.latitude0_deg).toBeCloseTo(42 + 500 * M_DEG, 9);
    const [a, b] = fields.map(({ plots }) => plots[0].rows);
    expect(a.t0_s[0]).toBe(0);
    expect(b.t0_s[0]).toBe(200);
    expect(a.t1_s[a.t1_s.length - 1]).toBe(199);
    expect(fields[0].plots[0].outside[50]).toBe(0);
    expect(fields[0].plots[0].outside[150]).toBe(1);
    expect(notices).toEqual([]);
  });

  it('without a boundary is about the middle of the fixes', () => {
    const stray = record(0, 101, CUTS);
    stray.fixes.latitude_deg[0] = 95;
    const { fields } = groundOfFields(season(['A']), [stray], [grain], [undefined]);
    expect(fields[0].frame.latitude0_deg).toBeCloseTo(42 + 102 * M_DEG, 6);
    expect(fields[0].plots[0].rows.pass[50]).toBe(0);
  });

  it('is no visit less for one fix whose time is wild', () => {
    const wild = record(0, 300, CUTS);
    wild.fixes.t_s[150] = 9e6;
    const { fields } = groundOfFields(
      season(['A', 'B']),
      [wild],
      [grain],
      [square(0, 200), square(400, 200)],
    );
    const { t0_s, t1_s } = fields[0].plots[0].rows;
    expect(t1_s[t1_s.length - 1]).toBe(199);
    expect(t0_s.every((t, i) => i === 0 || t >= t1_s[i - 1])).toBe(true);
  });

  it('is not cut where no grain came, when the header switch never moves', () => {
    const stuck = record(0, 200, { t_s: [0], up: [0] });
    const { fields } = groundOfFields(season(['A']), [stuck], [grain], [undefined]);
    expect(Math.max(...fields[0].plots[0].rows.pass)).toBe(-1);
  });

  it('says once a log that its header switch never moves, and how many fixes were set right, over all fields', () => {
    const stuck = record(0, 300, { t_s: [0], up: [1] });
    // one fix in each field lies beside the way
    for (const i of [50, 250]) stuck.fixes.longitude_deg[i] += 20 * M_DEG;
    const { notices } = groundOfFields(
      season(['A', 'B']),
      [stuck],
      [grain],
      [square(0, 200), square(400, 200)],
    );
    expect(notices.map(({ code, count }) => [code, count])).toEqual([
      ['header_never_moves', 1],
      ['fixes_replaced', 2],
    ]);
    expect(notices[0].text).toMatch(/c1\.log is always up, never down/);
  });

  it('names the log that was recorded in no field', () => {
    const { fields, notices } = groundOfFields(
      season(['A']),
      [record(0, 100, CUTS), record(90_000, 100, CUTS)],
      [grain, grain],
      [square(0)],
    );
    expect(fields[0].plots.map((plot) => plot.record)).toEqual([0]);
    expect(notices).toEqual([expect.objectContaining({ code: 'log_in_no_field', severity: 'mend' })]);
  });
});
