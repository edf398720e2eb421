/** How large the cells of a field's surface should be, from its data. */
import { median } from '../stats/quantiles.ts';

/** A field has no more cells than this by itself. */
const MOST_SUGGESTED = 200_000;
const ROUND = [1, 2, 2.5, 5, 10];

/**
 * Half the usual cut width, for across the passes nothing finer was measured (half the spacing of a regular sampling:
 * [Hengl2006 §2]); but large enough that a cell holds one point on the average; then up to the next of 1, 2, 2.5, 5 times a
 * power of ten. For a header of 9 m and a point every 1.5 m that is 5 m, as is common. NaN when there is no fresh ground.
 */
export function suggestedCell_m(cut_width_m: ArrayLike<number>, fresh_area_m2: ArrayLike<number>): number {
  let area_m2 = 0;
  let points = 0;
  for (let i = 0; i < fresh_area_m2.length; i++) {
    if (!(fresh_area_m2[i] > 0)) continue;
    area_m2 += fresh_area_m2[i];
    points++;
  }
  const width_m = median(cut_width_m);
  const side_m = Math.max(
    width_m > 0 ? width_m / 2 : 0,
    Math.sqrt(area_m2 / points),
    Math.sqrt(area_m2 / MOST_SUGGESTED),
  );
  return points > 0 ? roundUp(side_m) : Number.NaN;
}

function roundUp(side_m: number): number {
  const power = 10 ** Math.floor(Math.log10(side_m));
  return power * (ROUND.find((factor) => factor * power >= side_m * (1 - 1e-9)) ?? 10);
}
