/** Round places for the labels of an axis. */
import { roundStep } from '../../core/export/report/colour-classes.ts';

export interface Ticks {
  readonly at: readonly number[];
  readonly step: number;
  /** Digits after the point that the labels need. */
  readonly digits: number;
}

/** About `count` ticks at multiples of 1, 2, 2.5 or 5 times a power of ten, ends included when they are such. */
export function ticksBetween(low: number, high: number, count: number): Ticks {
  if (!(high > low)) return { at: Number.isFinite(low) ? [low] : [], step: 1, digits: 0 };
  const step = roundStep((high - low) / Math.max(count, 1));
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  const at = Array.from({ length: Math.max(last - first + 1, 0) }, (_, i) => (first + i) * step || 0);
  let digits = 0;
  while (digits < 6 && Math.abs(step * 10 ** digits - Math.round(step * 10 ** digits)) > 1e-6) digits++;
  return { at, step, digits };
}

/** `low` and `high` widened to multiples of the step that `ticksBetween` would take. */
export function roundedSpan(low: number, high: number, count: number): [low: number, high: number] {
  if (!(high > low)) return [low - 0.5, high + 0.5];
  const step = roundStep((high - low) / Math.max(count, 1));
  return [Math.floor(low / step + 1e-9) * step, Math.ceil(high / step - 1e-9) * step];
}
