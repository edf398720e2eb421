/** Margins of fields and of compared treatments, by the prices and costs of the season's sheet. */
import { findCrop } from '../../grain/find-crop.ts';
import type { FieldSummary } from '../../result.ts';
import type { Season } from '../../season.ts';
import type { FieldComparison } from '../comparison/comparison-result.ts';
import { ACRES_PER_HA, type Margin, marginOf, wetMassOfYield } from './margin.ts';
import type { CostSheet, PriceSheet } from './margin-sheet.ts';

export interface FieldMargin {
  readonly field: string;
  readonly crop: string;
  readonly area_ha: number;
  readonly margin: Margin;
  /** Of the whole field. */
  readonly total: number;
}

export interface TreatmentMargins {
  readonly comparison: string;
  readonly field: string;
  /** From the highest margin to the lowest. */
  readonly treatments: readonly { readonly treatment: string; readonly margin: Margin }[];
  /** Whether it paid, in a sentence; `null` where there is nothing to compare. */
  readonly told: string | null;
}

/** What is written where the sheet names no currency. */
export const NO_CURRENCY = 'currency units';

/** Fields whose crop has a price; none where the sheet has no prices. */
export function fieldMargins(season: Season, fields: readonly FieldSummary[]): FieldMargin[] {
  return fields.flatMap((field): FieldMargin[] => {
    const { area_ha, mass_wet_kg, moisture_pct } = field;
    const priced = pricesOf(season, field);
    if (priced === undefined || moisture_pct === null || !(area_ha > 0)) return [];
    const grain = { ...priced.grain, mass_wet_kg: mass_wet_kg / area_ha, moisture_pct };
    const costs = priced.costs.filter(({ treatment }) => treatment === undefined);
    const margin = marginOf(grain, priced.price, costs);
    return [{ field: field.name, crop: field.crop, area_ha, margin, total: margin.margin_per_ha * area_ha }];
  });
}

/** Margins of each treatment of a comparison, with the costs of its own. `undefined` without a price, or where strips have no moisture. */
export function treatmentMargins(
  season: Season,
  field: FieldSummary,
  comparison: FieldComparison,
): TreatmentMargins | undefined {
  const priced = pricesOf(season, field);
  if (priced === undefined) return undefined;
  const { standard_moisture_pct } = field;
  const treatments = comparison.treatments.flatMap(({ treatment, yield_t_ha, moisture_pct }) => {
    if (moisture_pct === null) return [];
    const mass_wet_kg = wetMassOfYield(yield_t_ha, moisture_pct, standard_moisture_pct);
    const costs = priced.costs.filter((cost) => cost.treatment === undefined || cost.treatment === treatment);
    const margin = marginOf({ ...priced.grain, mass_wet_kg, moisture_pct }, priced.price, costs);
    return [{ treatment, margin }];
  });
  if (treatments.length < comparison.treatments.length) return undefined;
  const ordered = treatments.sort((a, b) => b.margin.margin_per_ha - a.margin.margin_per_ha);
  return {
    comparison: comparison.name,
    field: field.name,
    treatments: ordered,
    told: didItPay(ordered, comparison, season.settings?.margin?.currency ?? NO_CURRENCY, season.units),
  };
}

/** "B leaves 35 $/ha more than A after its costs (95 % interval −4 to 74); …" */
function didItPay(
  ordered: TreatmentMargins['treatments'],
  { differences, alpha_pct }: FieldComparison,
  currency: string,
  units: Season['units'],
): string | null {
  const [best, worst] = [ordered[0], ordered.at(-1)];
  if (best === undefined || worst === undefined || ordered.length < 2) return null;
  const area = units === 'us' ? { name: 'ac', share: 1 / ACRES_PER_HA } : { name: 'ha', share: 1 };
  const sum = (per_ha: number) => (per_ha * area.share).toFixed(0).replace('-', '−');
  const gain = best.margin.margin_per_ha - worst.margin.margin_per_ha;
  const unit = `${currency}/${area.name}`;
  const head = `${best.treatment} leaves ${sum(gain)} ${unit} more than ${worst.treatment} after their costs`;
  const pair = differences.find(({ higher, lower }) =>
    [higher, lower].every((name) => name === best.treatment || name === worst.treatment),
  );
  if (pair?.interval_t_ha === null || pair === undefined)
    return `${head}; nothing says whether that is the treatment or the ground.`;
  // the yields' interval at the price of a tonne; what does not hang on yields shifts both ends alike
  const price = (best.margin.net_price_per_t + worst.margin.net_price_per_t) / 2;
  const half = (price * (pair.interval_t_ha[1] - pair.interval_t_ha[0])) / 2;
  const interval = `${100 - alpha_pct} % interval ${sum(gain - half)} to ${sum(gain + half)}`;
  const verdict =
    gain - half > 0
      ? 'at these prices it paid, beyond the scatter of the strips'
      : 'that lies within the scatter of the strips: at these prices it cannot be said to have paid';
  return `${head} (${interval}); ${verdict}.`;
}

interface PricedGrain {
  readonly price: PriceSheet;
  /** Of this field and crop; some for a treatment alone. */
  readonly costs: readonly CostSheet[];
  readonly grain: { readonly standard_moisture_pct: number; readonly bushel_kg: number };
}

/** `undefined` where the crop has no price, or one by a bushel that it does not have. */
function pricesOf(season: Season, field: FieldSummary): PricedGrain | undefined {
  const { prices = [], costs = [] } = season.settings?.margin ?? {};
  const crop = findCrop(season, field.crop);
  if (!crop.ok) return undefined;
  const isOfCrop = (name: string) => {
    const found = findCrop(season, name);
    return found.ok && found.value.name === crop.value.name;
  };
  const price = prices.find((one) => isOfCrop(one.crop));
  if (price === undefined) return undefined;
  const { bushel_kg } = crop.value;
  const isByBushel = [price.price_per_bu, price.drying_per_point_bu, price.hauling_per_bu].some(
    (one) => one !== undefined,
  );
  if (isByBushel && !(bushel_kg > 0)) return undefined;
  return {
    price,
    costs: costs.filter(
      (cost) =>
        (cost.crop === undefined || isOfCrop(cost.crop)) &&
        (cost.field === undefined || cost.field === field.name),
    ),
    grain: { standard_moisture_pct: field.standard_moisture_pct, bushel_kg },
  };
}
