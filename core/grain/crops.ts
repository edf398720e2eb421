/**
 * Crops that the program knows: legal bushel weight, market moisture, typical bulk density, each with where it comes
 * from. Buyers and states differ (corn 15.0 or 15.5 %, sorghum 13 or 14 %, oats 32 or 34 lb, rapeseed 50 or 60 lb,
 * buckwheat 48 or 52 lb, flax 56 or 60 lb in tables in use), so that season.json may replace any of them.
 */
import { kgFromLb, kgM3FromLbBu } from '../units.ts';

/** A crop with its trade constants, SI. NaN = the crop has none. */
export interface Crop {
  readonly name: string;
  /** Legal weight of the bushel in which the crop is traded; NaN when it is not traded by the bushel. */
  readonly bushel_kg: number;
  /** Moisture at which it is traded, % wet basis. */
  readonly standard_moisture_pct: number;
  /** Loose-filled bulk density to reckon with where no test weight is at hand. */
  readonly bulk_density_kg_m3: number;
  readonly sources: {
    readonly bushel: string;
    readonly standard_moisture: string;
    readonly bulk_density: string;
  };
}

/** A known crop and the other words for it. Words are compared without case, spaces, hyphens and underscores. */
export interface KnownCrop extends Crop {
  readonly aliases: readonly string[];
}

const WISCONSIN = 'University of Wisconsin Extension, HarvestMath 101 (Rankin)';
const MISSOURI = 'University of Missouri Extension G4020, tables of weights and measures';
const SECONDARY = 'secondary published table';
const FROM_MEMORY = 'from memory';

/**
 * A bushel's legal weight spread over the US bushel of 2150.42 in³. For corn, soybean, wheat, barley and oats this is
 * the density that ANSI/ASAE D241.4 tabulates (721, 772, 772, 618, 412 kg/m³: from memory).
 */
const LEGAL_WEIGHT_PER_BUSHEL = 'legal bushel weight over the US bushel of 2150.42 in³';

export const KNOWN_CROPS: readonly KnownCrop[] = [
  crop(
    'corn',
    ['maize', 'shelled corn', 'field corn'],
    56,
    WISCONSIN,
    15.5,
    `${WISCONSIN}; some buyers 15.0`,
  ),
  crop(
    'soybean',
    ['soybeans', 'soy', 'soya'],
    60,
    WISCONSIN,
    13,
    `${WISCONSIN}; Nebraska CropWatch (Dorn 2009)`,
  ),
  crop('wheat', ['winter wheat', 'spring wheat', 'durum', 'durum wheat'], 60, WISCONSIN, 13.5, WISCONSIN),
  crop('oats', ['oat'], 32, `${WISCONSIN}; 34 in Canada`, 14, WISCONSIN),
  crop('barley', ['malting barley', 'winter barley', 'spring barley'], 48, WISCONSIN, 14.5, WISCONSIN),
  crop(
    'sorghum',
    ['grain sorghum', 'milo'],
    56,
    SECONDARY,
    14,
    `seed-trial formula 6078.14 = 522720/86; some buyers 13`,
  ),
  crop('rye', ['winter rye'], 56, SECONDARY, 14, SECONDARY),
  crop('rice', ['rough rice', 'paddy rice', 'paddy'], 45, SECONDARY, 13, `${FROM_MEMORY}; 12 to 13.5 in use`),
  crop(
    'canola',
    ['rapeseed', 'oilseed rape'],
    50,
    `${SECONDARY}; rapeseed 60 in Missouri G4020`,
    8.5,
    SECONDARY,
  ),
  crop('flax', ['flaxseed', 'linseed'], 56, `${MISSOURI}; 60 in some copies`, 9, FROM_MEMORY),
  crop(
    'sunflower',
    ['sunflowers', 'oil sunflower'],
    28,
    `${MISSOURI}: 24 to 32 by state`,
    10,
    'NDSU Extension',
  ),
  crop('millet', ['proso millet', 'proso'], 50, SECONDARY, 13, FROM_MEMORY),
  crop('buckwheat', [], 48, `${SECONDARY}; 52 in some states`, 16, FROM_MEMORY),
  crop('peas', ['dry peas', 'field peas'], 60, SECONDARY, 16, `${FROM_MEMORY}; 14 to 16 in use`),
  crop('lentils', ['lentil'], 60, SECONDARY, 14, `${FROM_MEMORY}; 14 to 16 in use`),
  crop('dry beans', ['edible beans'], 60, SECONDARY, 16, `${FROM_MEMORY}; 14 to 16 in use`),
];

function crop(
  name: string,
  aliases: readonly string[],
  bushel_lb: number,
  bushel_source: string,
  standard_moisture_pct: number,
  moisture_source: string,
): KnownCrop {
  return {
    name,
    aliases,
    bushel_kg: kgFromLb(bushel_lb),
    standard_moisture_pct,
    bulk_density_kg_m3: kgM3FromLbBu(bushel_lb),
    sources: {
      bushel: bushel_source,
      standard_moisture: moisture_source,
      bulk_density: LEGAL_WEIGHT_PER_BUSHEL,
    },
  };
}
