/** How long a scale bar is, and what it says. */
import { M_PER_FT, M_PER_MILE } from '../../core/units.ts';
import { decimal } from '../text/quantities.ts';
import type { UnitSystem } from './types.ts';

const MOST_PX = 130;

export interface BarLength {
  readonly px: number;
  readonly words: string;
}

/** The longest bar of 1, 2 or 5 times a power of ten that is not wider than `most_px`. */
export function barLength(px_per_m: number, units: UnitSystem, most_px = MOST_PX): BarLength {
  const scales =
    units === 'us'
      ? ([
          [M_PER_MILE, 'mi'],
          [M_PER_FT, 'ft'],
        ] as const)
      : ([
          [1000, 'km'],
          [1, 'm'],
        ] as const);
  // The larger unit as soon as a whole one of it fits.
  const [m_per_unit, unit] = scales.find(([m]) => m * px_per_m <= most_px) ?? scales[1];
  const most = most_px / px_per_m / m_per_unit;
  const power = 10 ** Math.floor(Math.log10(most));
  const length = ([5, 2, 1].find((factor) => factor * power <= most * (1 + 1e-9)) ?? 1) * power;
  return { px: length * m_per_unit * px_per_m, words: `${decimal(length, length < 1 ? 2 : 0)} ${unit}` };
}
