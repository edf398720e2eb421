/**
 * Whether two machines agree where they cut side by side: yields of neighbouring points of the two, pass by pass.
 *
 * The same ground differs little over a header's width, so that the ratio of neighbours is that of the machines. A pass
 * counts once, with the median of its points' logarithms: points within a pass share their errors. The ratio is the median
 * over passes, its standard error `1.2533 SD/√passes` (asymptotic, of the median [Huber1981]); one odd pass widens it and
 * does not move it.
 */
import type { MachineAgreement } from '../calibration-result.ts';
import type { FieldPoints } from '../result.ts';
import { standardDeviation } from '../stats/moments.ts';
import { median } from '../stats/quantiles.ts';
import { twoSidedPFromT } from '../stats/student-t.ts';

/** Neighbours lie within so many cut widths of each other: the next pass, not the one after. Ours. */
const REACH_WIDTHS = 1.5;
const LEAST_PASSES = 4;
const LEAST_PAIRS_A_PASS = 10;
/** A ratio is proposed as a correction when Student's t says at this level that it is not 1, and it differs by enough to matter. */
const LEVEL = 0.05;
const WORTH_PCT = 1;
const MEDIAN_EFFICIENCY = 1.2533;

/** Agreements of all pairs of machines that cut side by side often enough, by crop; the first of a pair comes first in `machines`. */
export function estimateAgreements(
  fields: readonly FieldPoints[],
  machines: readonly string[],
): Omit<MachineAgreement, 'applied_factor'>[] {
  const crops = [...new Set(fields.map(({ crop }) => crop))];
  return crops.flatMap((crop) => {
    const own = fields.filter((field) => field.crop === crop);
    return machines.flatMap((machine, a) =>
      machines.slice(a + 1).flatMap((other, later) => {
        const passes = own.flatMap((points) => passRatios(points, a, a + 1 + later));
        const found = agreementOf(passes);
        return found === undefined ? [] : [{ crop, machine, with: other, ...found }];
      }),
    );
  });
}

interface PassRatio {
  readonly log_ratio: number;
  readonly pairs: number;
}

function agreementOf(passes: readonly PassRatio[]) {
  if (passes.length < LEAST_PASSES) return undefined;
  const logs = passes.map(({ log_ratio }) => log_ratio);
  const middle = median(logs);
  const se = (MEDIAN_EFFICIENCY * standardDeviation(logs)) / Math.sqrt(passes.length);
  const ratio = Math.exp(middle);
  return {
    ratio,
    ratio_se: ratio * se,
    pairs: passes.reduce((sum, { pairs }) => sum + pairs, 0),
    passes: passes.length,
    proposed: twoSidedPFromT(middle / se, passes.length - 1) < LEVEL && Math.abs(ratio - 1) > WORTH_PCT / 100,
  };
}

/** Medians of ln(yield of `a` over that of the nearest point of `b`), one a pass of `a` that runs beside `b`. */
function passRatios(points: FieldPoints, a: number, b: number): PassRatio[] {
  const reach_m = REACH_WIDTHS * widest(points);
  const neighbours = new NeighbourGrid(points, b, reach_m);
  const logs = new Map<number, number[]>();
  for (let i = 0; i < points.t_s.length; i++) {
    if (points.machine[i] !== a || !isUsable(points, i)) continue;
    const near = neighbours.nearest(points.east_m[i], points.north_m[i]);
    if (near < 0) continue;
    const ofPass = logs.get(points.pass[i]) ?? [];
    ofPass.push(Math.log(points.yield_kg_m2[i] / points.yield_kg_m2[near]));
    logs.set(points.pass[i], ofPass);
  }
  return [...logs.values()]
    .filter((ofPass) => ofPass.length >= LEAST_PAIRS_A_PASS)
    .map((ofPass) => ({ log_ratio: median(ofPass), pairs: ofPass.length }));
}

const isUsable = ({ screened_by, yield_kg_m2 }: FieldPoints, i: number): boolean =>
  screened_by[i] === 0 && yield_kg_m2[i] > 0;

function widest({ cut_width_m, screened_by }: FieldPoints): number {
  let most_m = 0;
  for (let i = 0; i < cut_width_m.length; i++)
    if (screened_by[i] === 0) most_m = Math.max(most_m, cut_width_m[i]);
  return most_m;
}

/** Points of one machine in square cells as wide as the reach. */
class NeighbourGrid {
  readonly #points: FieldPoints;
  readonly #reach_m: number;
  readonly #cells = new Map<string, number[]>();

  constructor(points: FieldPoints, machine: number, reach_m: number) {
    this.#points = points;
    this.#reach_m = reach_m;
    for (let i = 0; i < points.t_s.length; i++) {
      if (points.machine[i] !== machine || !isUsable(points, i)) continue;
      const key = this.#key(this.#cell(points.east_m[i]), this.#cell(points.north_m[i]));
      const cell = this.#cells.get(key);
      if (cell === undefined) this.#cells.set(key, [i]);
      else cell.push(i);
    }
  }

  /** Row of the nearest point within reach; −1 where there is none. */
  nearest(east_m: number, north_m: number): number {
    let best = -1;
    let least_m2 = this.#reach_m ** 2;
    for (let column = -1; column <= 1; column++)
      for (let row = -1; row <= 1; row++)
        for (const i of this.#cells.get(this.#key(this.#cell(east_m) + column, this.#cell(north_m) + row)) ??
          []) {
          const away_m2 = (this.#points.east_m[i] - east_m) ** 2 + (this.#points.north_m[i] - north_m) ** 2;
          if (away_m2 >= least_m2) continue;
          least_m2 = away_m2;
          best = i;
        }
    return best;
  }

  #cell(along_m: number): number {
    return Math.floor(along_m / this.#reach_m);
  }

  #key(column: number, row: number): string {
    return `${column},${row}`;
  }
}
