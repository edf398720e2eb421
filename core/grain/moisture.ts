/**
 * Grain mass and moisture. Moisture is % wet basis: water over wet mass. Where a moisture is not a physical one
 * (below 0, 100 or more, NaN) the answer is NaN, never an error: moisture comes from a sensor.
 */

/**
 * Mass that the same dry matter has at another moisture: `m (100 − M)/(100 − M_target)`, all % wet basis. Serves
 * yields (mass an area) as well.
 */
export function massAtMoisture(mass_kg: number, moisture_pct: number, target_moisture_pct: number): number {
  return mass_kg * moistureFactor(moisture_pct, target_moisture_pct);
}

/** The factor of `massAtMoisture`: `(100 − M)/(100 − M_target)`. */
export function moistureFactor(moisture_pct: number, target_moisture_pct: number): number {
  return dryFraction(moisture_pct) / dryFraction(target_moisture_pct);
}

/** Dry matter in grain of a moisture: `m (100 − M)/100`. */
export function dryMatterMass(mass_kg: number, moisture_pct: number): number {
  return mass_kg * dryFraction(moisture_pct);
}

/** Water in grain of a moisture: `m M/100`. */
export function waterMass(mass_kg: number, moisture_pct: number): number {
  return mass_kg * (1 - dryFraction(moisture_pct));
}

/**
 * Dry-matter shrink (pure water loss): % of the wet mass that goes when it dries from `moisture_pct` to
 * `target_moisture_pct`: `100 (M − M_target)/(100 − M_target)`. Negative when it gains water.
 */
export function dryMatterShrinkPct(moisture_pct: number, target_moisture_pct: number): number {
  return 100 * (1 - moistureFactor(moisture_pct, target_moisture_pct));
}

/** How a buyer reckons shrink: so many % of the wet mass for each point of moisture, and for handling. */
export interface ShrinkPolicy {
  readonly per_point_pct: number;
  readonly handling_pct: number;
}

/**
 * Policy shrink, a buyer's rule and *not* the dry-matter identity: % of the wet mass,
 * `per_point (M − M_target) + handling`; grain at or below the target moisture pays for handling only.
 */
export function policyShrinkPct(
  moisture_pct: number,
  target_moisture_pct: number,
  policy: ShrinkPolicy,
): number {
  const points = 100 * (dryFraction(target_moisture_pct) - dryFraction(moisture_pct));
  return policy.per_point_pct * Math.max(0, points) + policy.handling_pct;
}

/** Mass left of `mass_kg` after a shrink of `shrink_pct` % of it. */
export function massAfterShrink(mass_kg: number, shrink_pct: number): number {
  return mass_kg * (1 - shrink_pct / 100);
}

function dryFraction(moisture_pct: number): number {
  return moisture_pct >= 0 && moisture_pct < 100 ? (100 - moisture_pct) / 100 : Number.NaN;
}
