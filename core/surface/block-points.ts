/** Places inside a square block, by which its mean is taken: Gauss–Legendre points, four a side. */

/** Nodes of the interval −1…1 and their weights for four points [AbramowitzStegun1964 table 25.4]. */
const NODES = [-0.8611363115940526, -0.3399810435848563, 0.3399810435848563, 0.8611363115940526];
const WEIGHTS = [0.3478548451374538, 0.6521451548625461, 0.6521451548625461, 0.3478548451374538];

export interface BlockPoints {
  /** From the block's middle. */
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  /** Sum 1. */
  readonly weights: Float64Array;
}

/** The sixteen points of a block of `side_m`; the middle alone for a side of zero. Throws RangeError for a side below zero. */
export function blockPoints(side_m: number): BlockPoints {
  if (!(side_m >= 0)) throw new RangeError(`a block needs a side of zero or more, not ${side_m}`);
  if (side_m === 0)
    return { east_m: Float64Array.of(0), north_m: Float64Array.of(0), weights: Float64Array.of(1) };
  const count = NODES.length ** 2;
  const each = Array.from({ length: count }, (_, k) => [k % NODES.length, Math.floor(k / NODES.length)]);
  return {
    east_m: Float64Array.from(each, ([column]) => (NODES[column] * side_m) / 2),
    north_m: Float64Array.from(each, ([, row]) => (NODES[row] * side_m) / 2),
    weights: Float64Array.from(each, ([column, row]) => (WEIGHTS[column] * WEIGHTS[row]) / 4),
  };
}
