/** The open font that PDFs and PNGs are set in: Inter (SIL Open Font License 1.1), Latin with all of Europe's signs, Greek, Cyrillic. */
import { createRequire } from 'node:module';

const resolve = createRequire(import.meta.url).resolve;

/** Name that the files themselves give. */
export const FONT_FAMILY = 'Inter';

export const FONT_FILES = {
  usual: resolve('@expo-google-fonts/inter/400Regular/Inter_400Regular.ttf'),
  strong: resolve('@expo-google-fonts/inter/600SemiBold/Inter_600SemiBold.ttf'),
} as const;
