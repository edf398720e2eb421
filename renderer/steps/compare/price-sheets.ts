/** Prices and costs of the sheet as the window edits them: by the bushel or the tonne, by the acre or the hectare, as they were typed. */
import { ACRES_PER_HA } from '../../../core/analysis/margin/margin.ts';
import type { CostSheet, PriceSheet } from '../../../core/analysis/margin/margin-sheet.ts';
import { findCrop } from '../../../core/grain/find-crop.ts';
import type { Season } from '../../../core/season.ts';
import { tonnesFromKg } from '../../../core/units.ts';
import type { UnitSystem } from '../../text/quantities.ts';

export type PriceBasis = 't' | 'bu';

/** What can be said of a crop by the tonne or the bushel. */
export const PRICE_KINDS = ['price', 'drying_per_point', 'hauling'] as const;
export type PriceKind = (typeof PRICE_KINDS)[number];

type PriceKey = Exclude<keyof PriceSheet, 'crop' | 'shrink' | 'sold_at_moisture_pct'>;

export function priceKey(kind: PriceKind, basis: PriceBasis): PriceKey {
  switch (kind) {
    case 'price':
      return basis === 't' ? 'price_per_t' : 'price_per_bu';
    case 'drying_per_point':
      return basis === 't' ? 'drying_per_point_t' : 'drying_per_point_bu';
    case 'hauling':
      return basis === 't' ? 'hauling_per_t' : 'hauling_per_bu';
  }
}

export function isSameCrop(season: Pick<Season, 'crops'>, a: string, b: string): boolean {
  const [one, other] = [findCrop(season, a), findCrop(season, b)];
  return one.ok && other.ok && one.value.name === other.value.name;
}

export function priceOfCrop(season: Season, crop: string): PriceSheet | undefined {
  return season.settings?.margin?.prices?.find((one) => isSameCrop(season, one.crop, crop));
}

/** As the sheet has it; where it has nothing yet, bushels for US units and a crop that has one. */
export function basisOf(price: PriceSheet | undefined, units: UnitSystem, bushel_kg: number): PriceBasis {
  const isBy = (basis: PriceBasis) =>
    PRICE_KINDS.some((kind) => price?.[priceKey(kind, basis)] !== undefined);
  if (isBy('bu')) return 'bu';
  if (isBy('t')) return 't';
  return units === 'us' && bushel_kg > 0 ? 'bu' : 't';
}

/** The same prices by the other measure. */
export function turnedPrice(price: PriceSheet, to: PriceBasis, bushel_kg: number): PriceSheet {
  const from = to === 't' ? 'bu' : 't';
  const factor = to === 't' ? 1 / tonnesFromKg(bushel_kg) : tonnesFromKg(bushel_kg);
  return PRICE_KINDS.reduce((turned, kind) => {
    const amount = turned[priceKey(kind, from)];
    return amount === undefined
      ? turned
      : with_(
          with_(turned, priceKey(kind, from), null),
          priceKey(kind, to),
          Number((amount * factor).toFixed(4)),
        );
  }, price);
}

/** The sheet with the price of a crop; `null`: without one. */
export function withPrice(season: Season, crop: string, price: PriceSheet | null): readonly PriceSheet[] {
  const held = season.settings?.margin?.prices ?? [];
  const at = held.findIndex((one) => isSameCrop(season, one.crop, crop));
  if (price === null) return held.filter((_, k) => k !== at);
  return at < 0 ? [...held, price] : held.with(at, price);
}

/** `null` takes the key away. */
export function with_<T extends object, K extends keyof T>(sheet: T, key: K, to: T[K] | null): T {
  const { [key]: _, ...rest } = sheet;
  return (to === null ? rest : { ...rest, [key]: to }) as T;
}

export function costPerArea(cost: CostSheet): { readonly amount: number; readonly unit: 'ha' | 'ac' } {
  return cost.per_ac === undefined
    ? { amount: cost.per_ha ?? 0, unit: 'ha' }
    : { amount: cost.per_ac, unit: 'ac' };
}

/** An amount for a hectare as one for the area that is shown. */
export function perShownArea(per_ha: number, units: UnitSystem): number {
  return units === 'us' ? per_ha / ACRES_PER_HA : per_ha;
}
