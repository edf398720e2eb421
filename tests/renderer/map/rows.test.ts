import { describe, expect, it } from 'vitest';
import { colourScale } from '../../../renderer/map/colour-scale.ts';
import { groundOf } from '../../../renderer/map/ground.ts';
import { blockBoxes, runsWithin } from '../../../renderer/map/row-blocks.ts';
import { differences, matchRows, sameRows } from '../../../renderer/map/row-matching.ts';
import {
  levelShown,
  MARK_BYTES,
  MARK_DISTANCE_PX,
  screenedMarks,
} from '../../../renderer/map/screened-marks.ts';
import { countSelected, joinMasks, passMask, spanMask } from '../../../renderer/map/selections.ts';
import {
  PAINT_BYTES,
  packColours,
  packShapes,
  packStates,
  STATE,
  strengthOf,
} from '../../../renderer/map/swath-buffers.ts';
import { fieldOf } from './columns.ts';

function groundFor(columns: ReturnType<typeof fieldOf>) {
  const ground = groundOf(columns);
  if (!ground) throw new Error('no ground');
  return ground;
}

describe('what goes to the GPU', () => {
  const columns = fieldOf(3, {
    heading_rad: [0, Math.PI / 2, Math.PI],
    cut_width_m: [9.144, 9.144, 0],
    screened_by: [0, 4, 0],
    yield_se_kg_m2: [0.05, 0.3, 5],
  });

  it('holds the last row first, in metres and millimetres', () => {
    const buffer = packShapes(columns, groundFor(columns));
    const last = new DataView(buffer, 16 * 2);
    expect(last.getFloat32(0, true)).toBeCloseTo(groundFor(columns).xy_m[0], 6);
    expect([last.getInt16(8, true), last.getInt16(10, true)]).toEqual([0, 32_767]);
    expect([last.getUint16(12, true), last.getUint16(14, true)]).toEqual([1000, 4572]);
  });

  it('keeps states and colours apart', () => {
    const paint = new ArrayBuffer(3 * PAINT_BYTES);
    const numbers = Float64Array.of(1, 2, Number.NaN);
    const scale = colourScale(numbers, {
      classes: { method: 'equal', count: 2 },
      ramp: 'viridis',
      theme: 'light',
      about: 'range',
    });
    packColours(paint, columns, { numbers, scale, fade: 'by_error' });
    packStates(paint, columns, Uint8Array.of(1, 0, 0), { start_s: 0, end_s: 1 });
    packColours(paint, columns, { numbers, scale, fade: 'by_error' });
    const bytes = new Uint8Array(paint);
    const stateOf = (row: number) => bytes[4 * (2 - row) + 3];
    expect(stateOf(0)).toBe(STATE.selected);
    expect(stateOf(1)).toBe(STATE.screened);
    expect(stateOf(2)).toBe(STATE.outside_span | STATE.colourless | STATE.hidden);
    expect(bytes[4 * 2 + 2]).toBe(255);
    expect(bytes[4 * 1 + 2]).toBeLessThan(255);
  });

  it('fades with the relative error, never to nothing', () => {
    expect(strengthOf(columns, 0)).toBe(1);
    expect(strengthOf(columns, 1)).toBeLessThan(1);
    expect(strengthOf(columns, 2)).toBeCloseTo(0.25, 12);
  });

  it('has no ground without a place, and is not led astray by a screened one', () => {
    expect(groundOf(fieldOf(2, { longitude_deg: [Number.NaN, Number.NaN] }))).toBeUndefined();
    const stray = fieldOf(3, { latitude_deg: [42, 42, 43], screened_by: [0, 0, 3] });
    const { box, frame } = groundFor(stray);
    expect(frame.latitude_deg).toBe(42);
    expect(box.north1 - box.north0).toBeLessThan(1);
  });
});

describe('blocks of rows', () => {
  it('hold every row once, and only those near the screen are drawn', () => {
    const rows = 10_000;
    const ground = groundFor(
      fieldOf(rows, {
        longitude_deg: new Array<number>(rows).fill(-93),
        latitude_deg: Array.from({ length: rows }, (_, i) => 42 + 1e-6 * i),
      }),
    );
    const boxes = blockBoxes(ground);
    const everywhere = { west: -1e9, east: 1e9, south: -1e9, north: 1e9 };
    expect(runsWithin(boxes, rows, everywhere)).toEqual([{ first: 0, count: rows }]);
    // The southern end was cut first and is drawn last.
    const south = ground.xy_m[1];
    expect(runsWithin(boxes, rows, { ...everywhere, north: south + 1 })).toEqual([
      { first: 8192, count: 1808 },
    ]);
    expect(runsWithin(boxes, rows, { ...everywhere, east: -100 })).toEqual([]);
  });
});

describe('marks of screened points', () => {
  it('are never nearer than they may be, and none appears while zooming out', () => {
    const rows = 400;
    const columns = fieldOf(rows, {
      longitude_deg: Array.from({ length: rows }, (_, i) => -93 + 1e-5 * (i % 20)),
      latitude_deg: Array.from({ length: rows }, (_, i) => 42 + 1e-5 * Math.floor(i / 20)),
      screened_by: new Array<number>(rows).fill(4),
    });
    const marks = screenedMarks(columns, groundFor(columns));
    expect(marks.count).toBe(rows);
    const levels = new Uint8Array(marks.buffer);
    const shown = (px_per_m: number) =>
      Array.from({ length: rows }, (_, i) => i).filter(
        (i) => levels[MARK_BYTES * i + 9] >= levelShown(px_per_m),
      );
    let before = shown(40);
    expect(before).toHaveLength(rows);
    for (const px_per_m of [8, 2, 0.5, 0.1, 0.001]) {
      const now = shown(px_per_m);
      expect(now.length).toBeGreaterThan(0);
      expect(now.every((i) => before.includes(i))).toBe(true);
      // One mark a cell: the cells are as wide as marks may be near.
      const wide_px = 20 * 1.2 * px_per_m;
      expect(now.length).toBeLessThanOrEqual((wide_px / MARK_DISTANCE_PX + 2) ** 2);
      before = now;
    }
  });
});

describe('selections', () => {
  const columns = fieldOf(5, { machine: [0, 0, 1, 1, 0], pass: [0, 1, 1, -1, 1] });

  it('take a pass of one machine', () => {
    expect([...passMask(columns, 1)]).toEqual([0, 1, 0, 0, 1]);
    expect([...passMask(columns, 3)]).toEqual([0, 0, 0, 1, 0]);
  });

  it('take a span, are joined and counted', () => {
    const span = spanMask(columns, { start_s: 1, end_s: 3 });
    expect([...span]).toEqual([0, 1, 1, 1, 0]);
    const pass = passMask(columns, 1);
    expect([...joinMasks(span, pass, 'add')]).toEqual([0, 1, 1, 1, 1]);
    expect([...joinMasks(span, pass, 'remove')]).toEqual([0, 0, 1, 1, 0]);
    expect(countSelected(span)).toBe(3);
    expect(() => joinMasks(span, new Uint8Array(2), 'add')).toThrow(RangeError);
  });
});

describe('before and after', () => {
  it('match rows by machine and time, whatever was added or lost between', () => {
    const before = fieldOf(4, { t_s: [0, 1, 1, 2], machine: [0, 0, 1, 0] });
    const after = fieldOf(4, { t_s: [1, 1, 1.5, 2], machine: [1, 0, 0, 0] });
    const matches = matchRows(before, after);
    expect([...matches]).toEqual([2, 1, -1, 3]);
    const change = differences(Float64Array.of(1, 2, 3, 4), Float64Array.of(10, 20, 30, 40), matches);
    expect([...change]).toEqual([7, 18, Number.NaN, 36]);
  });
});

describe('cells of one grid before and after', () => {
  it('are told from each other row by row, without times', () => {
    const timeless = { t_s: [Number.NaN, Number.NaN] };
    const before = fieldOf(2, { ...timeless, yield_kg_m2: [0.5, 0.7] });
    const after = fieldOf(2, { ...timeless, yield_kg_m2: [0.6, 0.6] });
    const change = differences(before.yield_kg_m2, after.yield_kg_m2, sameRows(before, after));
    expect([...change]).toEqual([expect.closeTo(0.1, 12), expect.closeTo(-0.1, 12)]);
    expect([...sameRows(fieldOf(3), after)]).toEqual([-1, -1]);
  });
});
