import { describe, expect, it } from 'vitest';
import { cutWidths } from '../../../core/track/cut-width.ts';
import type { Swaths } from '../../../core/track/track.ts';

/** One row: middle and heading (degrees) of the header at both ends. */
interface Row {
  readonly from: readonly [number, number];
  readonly to: readonly [number, number];
  readonly heading_deg?: number;
  readonly turned_deg?: number;
  readonly machine?: number;
  readonly pass?: number;
  readonly width_m?: number;
  readonly se_m?: number;
}

function swathsOf(rows: readonly Row[]): Swaths {
  const column = (of: (row: Row, i: number) => number) => Float64Array.from(rows, of);
  const heading = ({ from, to, heading_deg }: Row) =>
    heading_deg === undefined ? Math.atan2(to[0] - from[0], to[1] - from[1]) : (heading_deg * Math.PI) / 180;
  return {
    t0_s: column((_, i) => 10 * i),
    t1_s: column((_, i) => 10 * i + 10),
    machine: Int32Array.from(rows, ({ machine }) => machine ?? 0),
    pass: Int32Array.from(rows, ({ pass }, i) => pass ?? i),
    east0_m: column(({ from }) => from[0]),
    north0_m: column(({ from }) => from[1]),
    heading0_rad: column(heading),
    east1_m: column(({ to }) => to[0]),
    north1_m: column(({ to }) => to[1]),
    heading1_rad: column((row) => heading(row) + ((row.turned_deg ?? 0) * Math.PI) / 180),
    header_width_m: column(({ width_m }) => width_m ?? 10),
    position_se_m: column(({ se_m }) => se_m ?? 0.01),
  };
}

const sum = (column: Float64Array) => column.reduce((total, x) => total + x, 0);
const areaOf = (swaths: Swaths) => sum(cutWidths(swaths).fresh_area_m2);

/** A straight strip from south to north in rows of `row_m`. */
function strip(east: number, length_m: number, row_m: number, more: Omit<Row, 'from' | 'to'> = {}): Row[] {
  return Array.from({ length: Math.round(length_m / row_m) }, (_, k) => ({
    from: [east, k * row_m],
    to: [east, (k + 1) * row_m],
    pass: 0,
    ...more,
  }));
}

describe('cutWidths, by hand', () => {
  it('a first pass is fresh over its whole width', () => {
    const { cut_width_m, fresh_area_m2 } = cutWidths(swathsOf(strip(0, 20, 2)));
    for (const width of cut_width_m) expect(width).toBeCloseTo(10, 9);
    expect(sum(fresh_area_m2)).toBeCloseTo(200, 9);
  });

  it('a second pass that overlaps by 3 m cuts 7 m, whichever way it goes', () => {
    for (const back of [false, true]) {
      const second = strip(7, 20, 2, { pass: 1 });
      const rows = back
        ? second.map(({ from, to, ...row }) => ({ ...row, from: to, to: from })).reverse()
        : second;
      const { cut_width_m } = cutWidths(swathsOf([...strip(0, 20, 2), ...rows]));
      for (const width of cut_width_m.slice(10)) expect(width).toBeCloseTo(7, 9);
    }
  });

  it('the same strip again is worth nothing', () => {
    const { cut_width_m, fresh_area_m2 } = cutWidths(
      swathsOf([...strip(0, 20, 2), ...strip(0, 20, 2, { pass: 1 })]),
    );
    for (const width of cut_width_m.slice(10)) expect(width).toBeCloseTo(0, 9);
    expect(sum(fresh_area_m2)).toBeCloseTo(200, 9);
  });

  it('a pass across an earlier one loses the middle of its way', () => {
    const across: Row[] = Array.from({ length: 60 }, (_, k) => ({
      from: [-30 + k, 10],
      to: [-29 + k, 10],
      pass: 1,
    }));
    const { fresh_area_m2 } = cutWidths(swathsOf([...strip(0, 20, 2), ...across]));
    expect(sum(fresh_area_m2.slice(10))).toBeCloseTo(500, 6);
  });

  it('a strip left between two passes is the third one’s, whole', () => {
    const rows = [...strip(0, 20, 2), ...strip(14, 20, 2, { pass: 1 }), ...strip(7, 20, 2, { pass: 2 })];
    const { cut_width_m } = cutWidths(swathsOf(rows));
    for (const width of cut_width_m.slice(20)) expect(width).toBeCloseTo(4, 9);
  });

  it('a slanted crop edge: the width grows as the edge is left', () => {
    // earlier strip along 45°, then north: at each line the part right of the edge is fresh
    const slanted: Row[] = Array.from({ length: 60 }, (_, k) => ({
      from: [-30 + k, -30 + k],
      to: [-29 + k, -29 + k],
      pass: 0,
    }));
    const { cut_width_m, fresh_area_m2 } = cutWidths(swathsOf([...slanted, ...strip(0, 24, 1, { pass: 1 })]));
    // from the strip's edge at (e, e + 5√2): the row from 9 to 10 north has e < 2.43 fresh of −5..5
    expect(cut_width_m[60 + 9]).toBeCloseTo(9.5 - 5 * Math.SQRT2 + 5, 6);
    expect(cut_width_m[60 + 14]).toBeCloseTo(10, 6);
    // 240 m² less the area under the slanted edge within the strip
    const covered = Array.from({ length: 24_000 }, (_, k) => {
      const north = (k + 0.5) / 1000;
      const reach = 5 * Math.SQRT2;
      return Math.max(0, Math.min(5, north + reach) - Math.max(-5, north - reach)) / 1000;
    }).reduce((a, b) => a + b, 0);
    expect(sum(fresh_area_m2.slice(60))).toBeCloseTo(240 - covered, 1);
  });

  it('on a curve the area is width × way of the middle (Pappus), and outside counts more than inside', () => {
    const radius = 30;
    const arc = (pass: number, width_m: number, r: number): Row[] =>
      Array.from({ length: 45 }, (_, k) => {
        const at = (j: number): [number, number] => {
          const angle = (2 * j * Math.PI) / 180;
          return [-r * Math.cos(angle), r * Math.sin(angle)];
        };
        return { from: at(k), to: at(k + 1), heading_deg: 2 * k, turned_deg: 2, pass, width_m };
      });
    const full = areaOf(swathsOf(arc(0, 10, radius)));
    expect(full).toBeCloseTo((10 * radius * Math.PI) / 2, 2);
    // an earlier, narrow strip along the outer 2 m: what is left is a ring of 25..33 m
    const left = cutWidths(swathsOf([...arc(0, 2, 34), ...arc(1, 10, 30)]));
    expect(sum(left.fresh_area_m2.slice(45))).toBeCloseTo((Math.PI / 4) * (33 ** 2 - 25 ** 2), 1);
    for (const width of left.cut_width_m.slice(45)) expect(width).toBeCloseTo(8, 1);
  });

  it('a machine that crosses its own way in one drive counts the crossing once', () => {
    const points: [number, number][] = [];
    for (let k = 0; k <= 60; k++) points.push([0, k]);
    for (let k = 1; k <= 54; k++) {
      const angle = (k * 5 * Math.PI) / 180;
      points.push([20 - 20 * Math.cos(angle), 60 + 20 * Math.sin(angle)]);
    }
    for (let k = 1; k <= 60; k++) points.push([20 - k, 40]);
    const heading = (k: number) => (k <= 60 ? 0 : k <= 114 ? (k - 60) * 5 : 270);
    const rows = points.slice(1).map(
      (to, k): Row => ({
        from: points[k],
        to,
        heading_deg: heading(k),
        turned_deg: heading(k + 1) - heading(k),
        pass: 0,
      }),
    );
    const way = 60 + 20 * ((270 * Math.PI) / 180) + 60;
    expect(areaOf(swathsOf(rows))).toBeCloseTo(10 * way - 100, 0);
  });

  it('rows that do not cut neither count nor cover, even without a place', () => {
    const idle = strip(0, 20, 2, { pass: -1 });
    const lost: Row = { from: [Number.NaN, 0], to: [Number.NaN, 2], heading_deg: Number.NaN, pass: -1 };
    const { cut_width_m, fresh_area_m2 } = cutWidths(swathsOf([...idle, lost, ...strip(0, 20, 2)]));
    expect(sum(cut_width_m.slice(0, 11))).toBe(0);
    expect(sum(fresh_area_m2)).toBeCloseTo(200, 9);
    const claimed = cutWidths(swathsOf([{ ...lost, pass: 0 }, ...strip(0, 20, 2)]));
    expect(claimed.cut_width_m[0]).toBe(0);
    expect(sum(claimed.fresh_area_m2)).toBeCloseTo(200, 9);
  });

  it('what one machine cut is not fresh for the other: first come, first served', () => {
    const a = strip(0, 20, 2, { machine: 0 });
    const b = strip(6, 20, 2, { machine: 1 });
    const first = cutWidths(swathsOf([...a, ...b]));
    const second = cutWidths(swathsOf([...b, ...a]));
    expect(first.cut_width_m[0]).toBeCloseTo(10, 9);
    expect(first.cut_width_m[10]).toBeCloseTo(6, 9);
    expect(second.cut_width_m[10]).toBeCloseTo(6, 9);
    expect(sum(first.fresh_area_m2)).toBeCloseTo(sum(second.fresh_area_m2), 9);
  });

  it('backing and going on over the same ground adds nothing; a trembling stand adds next to nothing', () => {
    const back: Row[] = Array.from({ length: 4 }, (_, k) => ({
      from: [0, 20 - 2 * k],
      to: [0, 18 - 2 * k],
      heading_deg: 0,
      pass: -1,
    }));
    const on = strip(0, 18, 2, { pass: 1 }).map(
      (row): Row => ({ ...row, from: [0, row.from[1] + 12], to: [0, row.to[1] + 12] }),
    );
    expect(areaOf(swathsOf([...strip(0, 20, 2), ...back, ...on]))).toBeCloseTo(300, 6);
    const tremble: Row[] = Array.from({ length: 100 }, (_, k) => ({
      from: [0, 20 + (k % 2 ? 0.05 : 0)],
      to: [0, 20 + (k % 2 ? 0 : 0.05)],
      heading_deg: 0,
      pass: 0,
    }));
    expect(areaOf(swathsOf([...strip(0, 20, 2), ...tremble]))).toBeLessThan(200 + 1);
  });

  it('a gap of 2 m is crop left standing; one of 10 cm was cut by one of the two', () => {
    const twoStrips = (apart: number) => [
      ...strip(0, 40, 2, { se_m: 0.1 }),
      ...strip(apart, 40, 2, { pass: 1, se_m: 0.1 }),
    ];
    expect(areaOf(swathsOf(twoStrips(12)))).toBeCloseTo(800, 6);
    expect(areaOf(swathsOf(twoStrips(10.1)))).toBeCloseTo(800, 6);
    // with a neighbour that overlaps by as much, the gap is made good: the union is 3 × 10 m
    const third = strip(20, 40, 2, { pass: 2, se_m: 0.1 });
    expect(areaOf(swathsOf([...twoStrips(10.1), ...third]))).toBeCloseTo(40 * 30, 6);
    const plain = cutWidths(swathsOf([...twoStrips(10.1), ...third]), { slivers: 'left' });
    expect(sum(plain.fresh_area_m2)).toBeCloseTo(40 * 29.9, 6);
  });

  it('a gap that a later pass cuts is that pass’s ground, counted once', () => {
    const rows = [
      ...strip(0, 40, 2, { se_m: 0.2 }),
      ...strip(10.5, 40, 2, { pass: 1, se_m: 0.2 }),
      ...strip(5.25, 40, 2, { pass: 2, se_m: 0.2 }),
    ];
    const { fresh_area_m2 } = cutWidths(swathsOf(rows));
    expect(sum(fresh_area_m2)).toBeCloseTo(40 * 20.5, 6);
    expect(sum(fresh_area_m2.slice(40))).toBeCloseTo(40 * 0.5, 6);
  });

  it('whole rows: widths are rows × spacing, half rows do not exist', () => {
    const rows = [...strip(0, 20, 2), ...strip(7.3, 20, 2, { pass: 1 })];
    const { cut_width_m, fresh_area_m2 } = cutWidths(swathsOf(rows), { whole_rows: new Map([[0, 8]]) });
    for (const width of cut_width_m.slice(10)) expect(width).toBeCloseTo(6 * 1.25, 9);
    expect(sum(fresh_area_m2.slice(10))).toBeCloseTo(20 * 7.5, 9);
  });

  it('ground outside the field is not the field’s: edge, hole, and far away', () => {
    const box = (w: number, s: number, e: number, n: number) => Float64Array.of(w, s, e, s, e, n, w, n);
    const rows = swathsOf([...strip(0, 40, 2), ...strip(100, 40, 2, { pass: 1 })]);
    const inBox = cutWidths(rows, { boundary: [box(-2, 5, 60, 100)] });
    expect(sum(inBox.fresh_area_m2)).toBeCloseTo(7 * 35, 1);
    expect(sum(inBox.cut_width_m.slice(20))).toBe(0);
    for (const width of inBox.cut_width_m.slice(3, 20)) expect(width).toBeCloseTo(7, 6);
    const withHole = cutWidths(rows, { boundary: [box(-20, -20, 60, 100), box(-1, 10, 1, 20)] });
    expect(sum(withHole.fresh_area_m2)).toBeCloseTo(400 - 20, 1);
  });

  it('no rows; columns of two lengths; rows out of order', () => {
    expect(cutWidths(swathsOf([])).cut_width_m.length).toBe(0);
    const rows = swathsOf(strip(0, 20, 2));
    expect(() => cutWidths({ ...rows, pass: new Int32Array(3) })).toThrow(/10 rows but 3 of pass/);
    expect(() =>
      cutWidths({ ...rows, t0_s: rows.t0_s.map((t) => -2 * t), t1_s: rows.t1_s.map((t) => -2 * t) }),
    ).toThrow(/time order/);
  });
});
