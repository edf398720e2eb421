/** Which program this is, for provenance. */
import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The checkout's top folder: the nearest one above this file that holds `package.json`. */
export function programFolder(): string {
  let folder = dirname(fileURLToPath(import.meta.url));
  while (!existsSync(join(folder, 'package.json'))) {
    const parent = dirname(folder);
    if (parent === folder) throw new RangeError(`no package.json above ${fileURLToPath(import.meta.url)}`);
    folder = parent;
  }
  return folder;
}

/** The version in `package.json`, e.g. `0.1.0`. */
export function programVersion(): string {
  const manifest = JSON.parse(readFileSync(join(programFolder(), 'package.json'), 'utf8')) as {
    version: string;
  };
  return manifest.version;
}

/** What outputs name as their maker, e.g. `sheaflight 0.1.0`. */
export function generatedBy(): string {
  return `sheaflight ${programVersion()}`;
}
