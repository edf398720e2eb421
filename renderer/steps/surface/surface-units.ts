/** Distances, and squares of yields, as the Surface step shows them. */
import { M_PER_FT } from '../../../core/units.ts';
import { shownQuantity } from '../../map/quantities.ts';
import type { UnitSystem } from '../../text/quantities.ts';

/** A unit: shown number = SI number × `per_si`. */
export interface ShownUnit {
  readonly unit: string;
  readonly per_si: number;
  readonly digits: number;
}

export interface SurfaceUnits {
  readonly length: ShownUnit;
  readonly area: ShownUnit;
  /** Of semivariances: the yield's unit, squared. */
  readonly square: ShownUnit;
}

export function surfaceUnits(units: UnitSystem, bushel_kg: number): SurfaceUnits {
  const { unit, per_si } = shownQuantity('yield', units, bushel_kg);
  const square = { unit: `(${unit})²`, per_si: per_si ** 2, digits: units === 'us' ? 1 : 3 };
  return units === 'us'
    ? {
        length: { unit: 'ft', per_si: 1 / M_PER_FT, digits: 0 },
        area: { unit: 'ft²', per_si: 1 / M_PER_FT ** 2, digits: 0 },
        square,
      }
    : {
        length: { unit: 'm', per_si: 1, digits: 1 },
        area: { unit: 'm²', per_si: 1, digits: 0 },
        square,
      };
}
