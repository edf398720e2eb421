/** The open font that PDFs and PNGs are set in: Inter (SIL Open Font License 1.1), Latin with all of Europe's signs, Greek, Cyrillic. */
import { createRequire } from 'node:module';
import { type Font, openSync } from 'fontkit';

const resolve = createRequire(import.meta.url).resolve;

/** Name that the files themselves give. */
export const FONT_FAMILY = 'Inter';

export type FontWeight = 'usual' | 'strong';

/** Files of the font by weight. */
export const FONT_FILES: Readonly<Record<FontWeight, string>> = {
  usual: resolve('@expo-google-fonts/inter/400Regular/Inter_400Regular.ttf'),
  strong: resolve('@expo-google-fonts/inter/600SemiBold/Inter_600SemiBold.ttf'),
};

const OPENED = new Map<FontWeight, Font>();

/** The font, read once: finding its tables takes longer than setting a page. */
export function openedFont(weight: FontWeight): Font {
  const known = OPENED.get(weight);
  if (known !== undefined) return known;
  const font = openSync(FONT_FILES[weight]);
  // a collection of fonts in one file has no letters of its own
  if (!('layout' in font)) throw new RangeError(`${FONT_FILES[weight]} holds several fonts, not one`);
  OPENED.set(weight, font);
  return font;
}
