/**
 * Ground below which no yield is formed, m². A metre of corn row is 0.76 m²: less than a tenth of a square metre is a
 * machine that stands, or a swath wholly on ground cut before, whose width is the noise of its position. Ours, no source.
 */
export const LEAST_YIELD_AREA_M2 = 0.1;

/**
 * Yield `mass / (width × distance)` of one interval, kg/m². NaN when the ground is below `LEAST_YIELD_AREA_M2` or
 * anything is absent: never infinite. (Wet mass gives wet yield; `massAtMoisture` brings either to another moisture.)
 * The mass of such an interval is not lost by this: totals are sums of mass over sums of area, not means of yields.
 */
export function yieldFromMass(mass_kg: number, area_m2: number): number {
  return area_m2 >= LEAST_YIELD_AREA_M2 ? mass_kg / area_m2 : Number.NaN;
}
