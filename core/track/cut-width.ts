/**
 * How wide each row really cut: the part of its header that met ground nobody had cut before, over all machines in time
 * order. Instead of a raster, lines across the header are cut with the exact outlines of earlier swaths.
 */
import type { PlaneRings } from './field-edge.ts';
import { measureFreshGround } from './fresh-ground.ts';
import { settleEnds } from './pass-edges.ts';
import { ribbonsOf } from './ribbons.ts';
import { rowSteps } from './row-steps.ts';
import type { CutWidthSolution, Swaths } from './track.ts';

export interface CutWidthOptions {
  /** Crop rows on the header by machine: widths are then whole rows. Machines that are absent cut any width. */
  readonly whole_rows?: ReadonlyMap<number, number>;
  /** The field's boundary in its plane: what a header sweeps outside is not the field's ground. */
  readonly boundary?: PlaneRings;
  /**
   * Whether slivers between neighbouring passes, no wider than position errors, count as cut by the later one
   * (`filled`, the default), or the field is the plain union of the swaths as given (`left`): for logs whose
   * swaths were made elsewhere and are to be taken at their word.
   */
  readonly slivers?: 'filled' | 'left';
}

/**
 * Fresh width and area of every row. The order of rows is the order of cutting; rows with pass −1 neither count nor
 * cover, and may be without a place.
 *
 * Width: mean over lines at most 1 m apart of the length not on earlier swaths (the machine's own from one header
 * width back on). Area: the same with the arc's longer outside and shorter inside (Pappus), so that the sum over rows
 * is the area of the union of all swaths, with slivers between neighbours that are no wider than the position error
 * filled: noise neither narrows a full header nor changes the field. Throws RangeError when rows are out of order
 * or columns differ in length.
 */
export function cutWidths(swaths: Swaths, options: CutWidthOptions = {}): CutWidthSolution {
  checkRows(swaths);
  const steps = rowSteps(swaths);
  const ribbons = ribbonsOf(swaths, steps);
  const measured = measureFreshGround(swaths, steps, ribbons, options);
  const width_m = measured.width_m.slice();
  const area_m2 = measured.area_m2.slice();
  for (const isEdge of [false, true]) settleEnds(swaths, steps, measured, isEdge, width_m, area_m2);
  for (let i = 0; i < width_m.length; i++) {
    const rows = options.whole_rows?.get(swaths.machine[i]);
    const full_m = swaths.header_width_m[i];
    const before_m = Math.min(full_m, Math.max(0, width_m[i]));
    area_m2[i] = Math.max(0, area_m2[i]);
    width_m[i] = rows === undefined ? before_m : (Math.round((before_m / full_m) * rows) / rows) * full_m;
    if (rows !== undefined) area_m2[i] = before_m > 0 ? (area_m2[i] * width_m[i]) / before_m : 0;
  }
  return { cut_width_m: width_m, fresh_area_m2: area_m2 };
}

function checkRows(swaths: Swaths): void {
  const n = swaths.t0_s.length;
  for (const [name, column] of Object.entries(swaths)) {
    if (column.length !== n) throw new RangeError(`swaths have ${n} rows but ${column.length} of ${name}`);
  }
  let before = -1;
  for (let i = 0; i < n; i++) {
    if (swaths.pass[i] < 0) continue;
    if (before >= 0 && !(swaths.t1_s[i] >= swaths.t0_s[before])) {
      throw new RangeError(
        `swaths must be in time order: row ${i} ends at ${swaths.t1_s[i]} s, before row ${before} starts at ${swaths.t0_s[before]} s`,
      );
    }
    before = i;
  }
}
