/** Optional open data sets beside the repository; tests that read them are skipped, and say so, where they are absent. */
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const FOLDER = fileURLToPath(new URL('../../../shared/reference/', import.meta.url));

/** Text of a reference file, or undefined where the data are not present. */
export function referenceText(path: string): string | undefined {
  const file = FOLDER + path;
  if (existsSync(file)) return readFileSync(file, 'utf8');
  console.info(`skipped: reference data not present (${path})`);
  return undefined;
}
