/** What a choice of layers and formats comes to, in words: what opens a format, and why something cannot be had. */
import { FORMAT_NAMES, FORMATS, type FormatName } from '../../../core/export/formats/format-list.ts';
import type { LayerKind } from '../../../core/export/layers/layer.ts';
import { LAYER_KINDS } from '../../../core/export/layers/layer-choice.ts';
import type { RememberedChoice } from '../../session/layer-exports.ts';

export const LAYER_WORDS: Readonly<Record<LayerKind, { readonly title: string; readonly holds: string }>> = {
  points: { title: 'Points', holds: 'one a fix, with all its figures' },
  swaths: { title: 'Swaths', holds: 'the ground that each point cut, as wide as it was cut' },
  cells: { title: 'Cells', holds: 'of the surface, with their standard errors' },
  zones: { title: 'Zones', holds: 'of the surface’s classes' },
};

/** What each opens in, by kind of program. */
export const OPENS_IN: Readonly<Record<FormatName, string>> = {
  geojson: 'Opens in any GIS and in web maps.',
  csv: 'Opens in spreadsheets and statistics programs, one row a feature.',
  shapefile: 'Opens in farm programs and older GIS; names of columns are short.',
  geotiff: 'The surface as a raster of yield and standard error, for GIS and image programs.',
  geoparquet: 'For queries over many fields and seasons, in data engines and newer GIS.',
  geopackage: 'Opens in GIS; all layers and fields are in one file.',
  kml: 'Opens in globe and map viewers, to look at.',
  isoxml: 'For farm management programs and terminals that read task data; always metric.',
  png: 'A picture at 300 dots an inch, to send or print.',
};

/** Why nothing chosen can go into a format; undefined when something can. */
export function formatRefusal(format: FormatName, layers: readonly LayerKind[]): string | undefined {
  const { kinds } = FORMATS[format];
  if (layers.length === 0 || kinds.some((kind) => layers.includes(kind))) return undefined;
  return `Holds ${listed(kinds)} only: choose ${kinds.length === 1 ? 'them' : 'one of them'} above.`;
}

/** Chosen layers that a format leaves out; undefined when it holds all. */
export function leftOutWords(format: FormatName, layers: readonly LayerKind[]): string | undefined {
  const { kinds } = FORMATS[format];
  const without = LAYER_KINDS.filter((kind) => layers.includes(kind) && !kinds.includes(kind));
  return without.length === 0 || without.length === layers.length ? undefined : `Without ${listed(without)}.`;
}

/** What will be asked for: formats that nothing goes into are left out, and order is that of the lists. */
export function usableChoice(choice: RememberedChoice): RememberedChoice {
  return {
    ...choice,
    layers: LAYER_KINDS.filter((kind) => choice.layers.includes(kind)),
    formats: FORMAT_NAMES.filter(
      (format) => choice.formats.includes(format) && formatRefusal(format, choice.layers) === undefined,
    ),
  };
}

/** Why nothing can be written yet; undefined when it can. */
export function choiceRefusal(
  choice: RememberedChoice,
  fields: readonly string[] | null,
): string | undefined {
  const { layers, formats } = usableChoice(choice);
  if (layers.length === 0) return 'Choose what to write.';
  if (fields?.length === 0) return 'Choose a field.';
  if (formats.length === 0) return 'Choose a format that holds what is chosen.';
  return undefined;
}

/** The list with `item` in it or out of it. */
export function toggled<T>(items: readonly T[], item: T, isIn: boolean): readonly T[] {
  const without = items.filter((one) => one !== item);
  return isIn ? [...without, item] : without;
}

function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** `842 KiB`, `3.1 MiB` */
export function sizeOf(bytes: number): {
  readonly number: number;
  readonly digits: number;
  readonly unit: string;
} {
  const kib = bytes / 1024;
  return kib < 1000
    ? { number: Math.max(kib, 0.1), digits: kib < 10 ? 1 : 0, unit: 'KiB' }
    : { number: kib / 1024, digits: 1, unit: 'MiB' };
}
