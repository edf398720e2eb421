/** From the crop's name in season.json to its constants, with the season's own numbers first. */
import { type DataError, failure, type Result, success } from '../errors.ts';
import { nearestWord } from '../nearest-word.ts';
import type { CropSheet, Season } from '../season.ts';
import { kgFromLb, kgM3FromLbBu } from '../units.ts';
import { type Crop, KNOWN_CROPS, type KnownCrop } from './crops.ts';

const FROM_SEASON = 'season.json';

/**
 * The crop called `name`: the known one (by name or alias) with whatever the season's `crops` replace, or one that
 * the season adds. Numbers given for an alias (durum) hold for that word only, as a crop of its own; those given for the
 * known name (wheat) hold for all its aliases. An added crop needs `standard_moisture_pct` and `bushel_lb` or `bulk_density_kg_m3`; the
 * density of one with a bushel only is that bushel over the US bushel of 2150.42 in³, and a crop without a bushel has
 * none (NaN: no yields in bu/ac).
 *
 * Fails with `unknown_crop` (names the nearest known word and how to add a crop), `incomplete_crop` or
 * `crop_out_of_range`.
 */
export function findCrop(season: Pick<Season, 'crops'>, name: string): Result<Crop> {
  const sheets = season.crops ?? [];
  const known = KNOWN_CROPS.find((crop) => wordsFor(crop).includes(plain(name)));
  const named = (wanted: string) => sheets.findLast((sheet) => plain(sheet.name) === plain(wanted));
  const own = named(name) ?? (known === undefined ? undefined : named(known.name));
  if (own !== undefined) {
    const wrong = rangeError(own);
    if (wrong !== undefined) return failure(wrong);
  }
  if (known !== undefined) return success(withOverrides(known, own));
  return own === undefined ? failure(unknownCrop(name, sheets)) : addedCrop(own);
}

function withOverrides(known: KnownCrop, own: CropSheet | undefined): Crop {
  const { aliases: _, ...crop } = known;
  return {
    ...crop,
    name: own?.name ?? crop.name,
    bushel_kg: own?.bushel_lb === undefined ? crop.bushel_kg : kgFromLb(own.bushel_lb),
    standard_moisture_pct: own?.standard_moisture_pct ?? crop.standard_moisture_pct,
    bulk_density_kg_m3: own?.bulk_density_kg_m3 ?? crop.bulk_density_kg_m3,
    sources: {
      bushel: own?.bushel_lb === undefined ? crop.sources.bushel : FROM_SEASON,
      standard_moisture:
        own?.standard_moisture_pct === undefined ? crop.sources.standard_moisture : FROM_SEASON,
      bulk_density: own?.bulk_density_kg_m3 === undefined ? crop.sources.bulk_density : FROM_SEASON,
    },
  };
}

function addedCrop(own: CropSheet): Result<Crop> {
  const { bushel_lb, standard_moisture_pct, bulk_density_kg_m3 } = own;
  if (standard_moisture_pct === undefined)
    return failure(incomplete(own, `"standard_moisture_pct", the moisture at which it is sold`));
  if (bushel_lb === undefined && bulk_density_kg_m3 === undefined)
    return failure(
      incomplete(own, `"bulk_density_kg_m3" (10 × kg/hL), or "bushel_lb" if it is sold by the bushel`),
    );
  return success({
    name: own.name,
    bushel_kg: bushel_lb === undefined ? Number.NaN : kgFromLb(bushel_lb),
    standard_moisture_pct,
    bulk_density_kg_m3: bulk_density_kg_m3 ?? kgM3FromLbBu(bushel_lb ?? Number.NaN),
    sources: { bushel: FROM_SEASON, standard_moisture: FROM_SEASON, bulk_density: FROM_SEASON },
  });
}

function unknownCrop(name: string, sheets: readonly CropSheet[]): DataError {
  const names = [...KNOWN_CROPS.map((crop) => crop.name), ...sheets.map((sheet) => sheet.name)];
  const aliases = KNOWN_CROPS.flatMap((crop) => crop.aliases);
  const nearest = nearestWord(name, [...names, ...aliases]);
  const hint = nearest === undefined ? '' : `did you mean "${nearest}"? `;
  return {
    code: 'unknown_crop',
    source: FROM_SEASON,
    text:
      `Crop "${name}" is not known; ${hint}${hint === '' ? 'known' : 'Known'} are ${names.join(', ')}. To add it, write in season.json: ` +
      `"crops": [{ "name": "${name}", "bushel_lb": 60, "standard_moisture_pct": 14, "bulk_density_kg_m3": 770 }] ` +
      `with the crop's own numbers.`,
  };
}

function incomplete(own: CropSheet, needs: string): DataError {
  return {
    code: 'incomplete_crop',
    source: FROM_SEASON,
    text: `Crop "${own.name}" in season.json "crops" also needs ${needs}.`,
  };
}

/** Limits within which any grain lies; outside them a unit was mistaken. */
const LIMITS = {
  bushel_lb: [8, 100],
  standard_moisture_pct: [0, 40],
  bulk_density_kg_m3: [100, 1200],
} as const;

function rangeError(own: CropSheet): DataError | undefined {
  for (const key of ['bushel_lb', 'standard_moisture_pct', 'bulk_density_kg_m3'] as const) {
    const found = own[key];
    const [low, high] = LIMITS[key];
    if (found === undefined || (found >= low && found <= high)) continue;
    const text = `Crop "${own.name}" in season.json "crops" has "${key}": ${found}; expected ${low} to ${high}.`;
    return { code: 'crop_out_of_range', source: FROM_SEASON, text };
  }
  return undefined;
}

const wordsFor = (crop: KnownCrop): string[] => [crop.name, ...crop.aliases].map(plain);

const plain = (name: string): string => name.toLowerCase().replace(/[\s_-]+/g, '');
