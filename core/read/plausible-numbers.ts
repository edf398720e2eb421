/** What the cells of a log can hold at the most: not a judgement on a machine, but a guard against slipped digits and damage. */
import type { NumericQuantity } from './unit-words.ts';

/**
 * Least and most of each quantity in its column's unit, far beyond any combine and any field (common practice, no source);
 * a number outside counts as no number. Positions are looked at by themselves.
 */
const LIMITS: Readonly<Record<NumericQuantity, readonly [least: number, most: number]>> = {
  longitude: [-1e3, 1e3],
  latitude: [-1e3, 1e3],
  interval: [0, 3600],
  mass_flow: [-1000, 1000],
  volume_flow: [-10, 10],
  mass: [-1e5, 1e5],
  distance: [-1000, 1000],
  speed: [-100, 100],
  swath: [-100, 100],
  heading: [-1e4, 1e4],
  moisture: [-100, 1000],
  altitude: [-1000, 10_000],
  fix_quality: [-1e3, 1e3],
};

/** The number itself, NaN when no log can mean it. */
export function plausibleNumber(quantity: NumericQuantity, number: number): number {
  const [least, most] = LIMITS[quantity];
  return number >= least && number <= most ? number : Number.NaN;
}
