/** Moving one limit of classes among the others. */

interface Room {
  readonly low: number;
  readonly high: number;
  /** Limits are multiples of it, and stay as far apart. */
  readonly step: number;
}

/** `limits` with the one at `place` at `to`, rounded to the step, and kept between its neighbours and the ends. */
export function limitMoved(
  limits: readonly number[],
  place: number,
  to: number,
  { low, high, step }: Room,
): readonly number[] {
  const least = place > 0 ? limits[place - 1] + step : low;
  const most = place < limits.length - 1 ? limits[place + 1] - step : high;
  const rounded = Math.round(to / step) * step;
  // Neighbours that already touch leave no room: then it stays.
  const moved = least > most ? limits[place] : Math.min(Math.max(rounded, least), most);
  return limits.with(place, moved);
}
