/** Angles as machines turn. */

/** Turn from one heading to another the short way, −π..π, positive clockwise. */
export function shortTurn(from_rad: number, to_rad: number): number {
  const turn = to_rad - from_rad;
  return turn - 2 * Math.PI * Math.round(turn / (2 * Math.PI));
}
