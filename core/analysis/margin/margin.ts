/** What is left of the price after shrink, drying, hauling and the costs of the ground. Sums are in the sheet's currency. */
import { finiteOrNull } from '../../columns.ts';
import { massAfterShrink, massAtMoisture, policyShrinkPct } from '../../grain/moisture.ts';
import { kgFromTonnes, M2_PER_ACRE, M2_PER_HA, tonnesFromKg } from '../../units.ts';
import type { CostSheet, PriceSheet } from './margin-sheet.ts';

/** Exact [NIST SP 811]. */
export const ACRES_PER_HA = M2_PER_HA / M2_PER_ACRE;

/** Grain of a hectare. */
export interface HectareGrain {
  readonly mass_wet_kg: number;
  readonly moisture_pct: number;
  /** Moisture of the yields that are told, % wet basis. */
  readonly standard_moisture_pct: number;
  /** NaN for a crop without a bushel. */
  readonly bushel_kg: number;
}

/** Of a hectare; `null` where a number does not exist. */
export interface Margin {
  readonly yield_t_ha: number;
  readonly moisture_pct: number;
  /** What is paid for. */
  readonly sold_t_ha: number;
  /** `dry-matter shrink` or `policy shrink`, % of the wet mass. */
  readonly shrink: { readonly label: string; readonly pct: number };
  readonly revenue_per_ha: number;
  readonly drying_per_ha: number;
  readonly hauling_per_ha: number;
  readonly costs: readonly { readonly name: string; readonly per_ha: number }[];
  readonly costs_per_ha: number;
  readonly margin_per_ha: number;
  /** Price less drying and hauling, for a tonne of the yield at standard moisture. */
  readonly net_price_per_t: number;
  /** Yield at which nothing is left; `null` where grain brings nothing. */
  readonly break_even_t_ha: number | null;
}

/** How each figure is made, for whoever reads them. */
export const MARGIN_FORMULAS: readonly string[] = [
  'Dry-matter shrink: sold = wet × (100 − M) / (100 − M_sold); grain drier than M_sold is paid as it weighs (Wisconsin Extension, HarvestMath 101; Nebraska CropWatch).',
  'Policy shrink: sold = wet × (1 − (per_point × (M − M_sold) + handling) / 100), a buyer’s rule and not the dry-matter formula.',
  'Drying = cost of a point × (M − M_sold) × wet mass, nothing for grain at or below M_sold; hauling = cost × wet mass.',
  'Margin = sold × price − drying − hauling − costs of the ground.',
  'Break-even yield = costs of the ground / (margin before them for a tonne at standard moisture).',
];

/** Throws RangeError for a price by the bushel of a crop that has none. */
export function marginOf(grain: HectareGrain, price: PriceSheet, costs: readonly CostSheet[]): Margin {
  const { mass_wet_kg, moisture_pct, standard_moisture_pct } = grain;
  const sold_at_pct = price.sold_at_moisture_pct ?? standard_moisture_pct;
  const sold_kg = soldMass(mass_wet_kg, moisture_pct, sold_at_pct, price);
  const points = Math.max(0, moisture_pct - sold_at_pct);
  const perKg = (a_t: number | undefined, a_bu: number | undefined) =>
    perKilogram(a_t, a_bu, grain.bushel_kg);
  const revenue_per_ha = sold_kg * perKg(price.price_per_t, price.price_per_bu);
  const drying_per_ha = points * mass_wet_kg * perKg(price.drying_per_point_t, price.drying_per_point_bu);
  const hauling_per_ha = mass_wet_kg * perKg(price.hauling_per_t, price.hauling_per_bu);
  const costed = costs.map(({ name, per_ha, per_ac }) => ({
    name,
    per_ha: per_ha ?? (per_ac ?? 0) * ACRES_PER_HA,
  }));
  const costs_per_ha = costed.reduce((sum, { per_ha }) => sum + per_ha, 0);
  const before = revenue_per_ha - drying_per_ha - hauling_per_ha;
  const yield_t_ha = tonnesFromKg(massAtMoisture(mass_wet_kg, moisture_pct, standard_moisture_pct));
  const net_price_per_t = before / yield_t_ha;
  return {
    yield_t_ha,
    moisture_pct,
    sold_t_ha: tonnesFromKg(sold_kg),
    shrink: {
      label: price.shrink?.method === 'policy' ? 'policy shrink' : 'dry-matter shrink',
      pct: 100 * (1 - sold_kg / mass_wet_kg),
    },
    revenue_per_ha,
    drying_per_ha,
    hauling_per_ha,
    costs: costed,
    costs_per_ha,
    margin_per_ha: before - costs_per_ha,
    net_price_per_t,
    break_even_t_ha: net_price_per_t > 0 ? finiteOrNull(costs_per_ha / net_price_per_t) : null,
  };
}

/** Of places of other yields at the same moisture: `yield × net price − costs`, for each hectare. */
export function marginsOfYields(yield_t_ha: Float64Array, margin: Margin): Float64Array {
  return yield_t_ha.map((amount) => amount * margin.net_price_per_t - margin.costs_per_ha);
}

/** Wet mass that is `yield_t_ha` at standard moisture. */
export function wetMassOfYield(
  yield_t_ha: number,
  moisture_pct: number,
  standard_moisture_pct: number,
): number {
  return massAtMoisture(kgFromTonnes(yield_t_ha), standard_moisture_pct, moisture_pct);
}

function soldMass(
  mass_wet_kg: number,
  moisture_pct: number,
  sold_at_pct: number,
  { shrink }: PriceSheet,
): number {
  if (shrink?.method !== 'policy')
    return moisture_pct <= sold_at_pct ? mass_wet_kg : massAtMoisture(mass_wet_kg, moisture_pct, sold_at_pct);
  const policy = { per_point_pct: shrink.per_point_pct ?? 0, handling_pct: shrink.handling_pct ?? 0 };
  return massAfterShrink(mass_wet_kg, policyShrinkPct(moisture_pct, sold_at_pct, policy));
}

function perKilogram(a_t: number | undefined, a_bu: number | undefined, bushel_kg: number): number {
  if (a_t !== undefined) return tonnesFromKg(a_t);
  if (a_bu === undefined) return 0;
  if (!(bushel_kg > 0)) throw new RangeError('a price by the bushel needs the weight of the bushel');
  return a_bu / bushel_kg;
}
