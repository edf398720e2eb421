/** Optional open data sets that stand beside the repository; tests that need them are skipped where they are absent. */
import { existsSync, readFileSync } from 'node:fs';

const FOLDER = new URL('../../../shared/reference/data/', import.meta.url);

/** What a test says when it is skipped. */
export const NO_REFERENCE_DATA = 'skipped: reference data not present';

/** Bytes of a data file, e.g. `nmea/rx210.log`; undefined where it is absent. */
export function referenceData(path: string): Uint8Array | undefined {
  const file = new URL(path, FOLDER);
  return existsSync(file) ? readFileSync(file) : undefined;
}

/** The same as UTF-8 text. */
export function referenceText(path: string): string | undefined {
  const bytes = referenceData(path);
  return bytes && new TextDecoder().decode(bytes);
}
