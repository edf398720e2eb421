/** Which crop a field grew, when nobody has been asked: what files say, what the season grows, and else corn. */
import { KNOWN_CROPS } from '../grain/crops.ts';
import { findCrop } from '../grain/find-crop.ts';
import type { Season } from '../season.ts';

export interface CropChoice {
  readonly crop: string;
  /** Whether a file or a person says so; what is only assumed is asked for. */
  readonly known: boolean;
  /** One clause. */
  readonly reason: string;
}

/** The commonest grain of the world's combines with optical sensors; assumed where nothing speaks. Ours. */
const ASSUMED_CROP = 'corn';

export interface CropHints {
  /** The user's word. */
  readonly said: string | undefined;
  /** In the properties of the boundary, or in a column of the field's logs. */
  readonly inFiles: readonly string[];
  /** Names of the field's log files, with folders. */
  readonly paths: readonly string[];
}

export function chooseCrop(season: Pick<Season, 'crops' | 'fields'>, hints: CropHints): CropChoice {
  if (hints.said !== undefined) return { crop: hints.said, known: true, reason: 'it was said' };
  const written = [...new Set(hints.inFiles.map((word) => nameOf(season, word)))].filter(
    (name) => name !== undefined,
  );
  if (written.length === 1) return { crop: written[0], known: true, reason: 'a file says so' };
  const inPaths = [...new Set(hints.paths.flatMap(cropsInPath))];
  if (inPaths.length === 1) return { crop: inPaths[0], known: true, reason: 'the name of a file says so' };
  const grown = [...new Set(season.fields.map(({ crop }) => crop))];
  if (grown.length === 1) return { crop: grown[0], known: false, reason: 'the other fields grow it' };
  return { crop: ASSUMED_CROP, known: false, reason: 'no file names a crop' };
}

function nameOf(season: Pick<Season, 'crops'>, word: string): string | undefined {
  const found = findCrop(season, word);
  return found.ok ? found.value.name : undefined;
}

/** Crops whose name or alias stands in a path as a word of its own. */
function cropsInPath(path: string): string[] {
  const words = ` ${path.toLowerCase().replaceAll(/[^\p{L}]+/gu, ' ')} `;
  return KNOWN_CROPS.filter(({ name, aliases }) =>
    [name, ...aliases].some((word) => words.includes(` ${word} `)),
  ).map(({ name }) => name);
}
