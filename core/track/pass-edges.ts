/**
 * The edges of passes in time order, and their overlaps settled: what was measured along them gives way to the estimate.
 */
import { FIELD_EDGE } from './cross-section.ts';
import { type EdgeOverlaps, estimateOverlaps } from './edge-overlap.ts';
import { acrossSe, type FreshGround } from './fresh-ground.ts';
import { bendOf, type RowSteps } from './row-steps.ts';
import type { Swaths } from './track.ts';

/** Puts the estimated overlaps in the place of the measured ones, at neighbours or at the field's edge. */
export function settleEnds(
  swaths: Swaths,
  steps: RowSteps,
  measured: FreshGround,
  isEdge: boolean,
  width_m: Float64Array,
  area_m2: Float64Array,
): void {
  const sides = sidesInRuns(swaths, measured, isEdge);
  const items = overlapItems(swaths, steps, measured, sides);
  const estimate_m = estimateOverlaps(items);
  for (let k = 0; k < sides.length; k++) {
    const side = sides[k];
    const i = side >> 1;
    const wider_m = measured.taken_m[side] - measured.share[side] * estimate_m[k];
    width_m[i] += wider_m;
    area_m2[i] += wider_m * wayOfEnd(swaths, steps, side);
  }
}

/** Sides with a neighbour, machine by machine, left edges then right edges, in time order. */
function sidesInRuns(swaths: Swaths, measured: FreshGround, isEdge: boolean): Int32Array {
  const { share, neighbour } = measured;
  const counts = new Map<number, number>();
  const isMeant = (side: number) => share[side] > 0 && (neighbour[side] === FIELD_EDGE) === isEdge;
  for (let side = 0; side < share.length; side++) {
    if (!isMeant(side)) continue;
    const edge = 2 * swaths.machine[side >> 1] + (side & 1);
    counts.set(edge, (counts.get(edge) ?? 0) + 1);
  }
  let total = 0;
  for (const [edge, count] of counts) {
    counts.set(edge, total);
    total += count;
  }
  const sides = new Int32Array(total);
  for (let side = 0; side < share.length; side++) {
    if (!isMeant(side)) continue;
    const edge = 2 * swaths.machine[side >> 1] + (side & 1);
    const at = counts.get(edge) ?? 0;
    sides[at] = side;
    counts.set(edge, at + 1);
  }
  return sides;
}

function overlapItems(
  swaths: Swaths,
  steps: RowSteps,
  measured: FreshGround,
  sides: Int32Array,
): EdgeOverlaps {
  const n = sides.length;
  const items = {
    run: new Int32Array(n),
    t_s: new Float64Array(n),
    overlap_m: new Float64Array(n),
    way_m: new Float64Array(n),
    position_se_m: new Float64Array(n),
  };
  for (let k = 0; k < n; k++) {
    const side = sides[k];
    const i = side >> 1;
    items.t_s[k] = swaths.t0_s[i];
    items.overlap_m[k] = measured.overlap_m[side];
    items.way_m[k] = measured.share[side] * wayOfEnd(swaths, steps, side);
    items.position_se_m[k] = acrossSe(swaths, i);
    if (k === 0) continue;
    const before = sides[k - 1];
    const same =
      (before & 1) === (side & 1) &&
      steps.pass_key[before >> 1] === steps.pass_key[i] &&
      measured.neighbour[before] === measured.neighbour[side];
    items.run[k] = items.run[k - 1] + (same ? 0 : 1);
  }
  return items;
}

/** Way of a header's end: longer than the middle's on the outside of a curve. */
function wayOfEnd(swaths: Swaths, steps: RowSteps, side: number): number {
  const i = side >> 1;
  const outward = (swaths.header_width_m[i] / 2) * bendOf(swaths, steps, i);
  return steps.ahead_m[i] * (1 + (side & 1 ? -outward : outward));
}
