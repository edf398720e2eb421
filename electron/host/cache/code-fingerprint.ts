/** What the cache goes by instead of version numbers that somebody would have to remember to raise. */
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { programFolder } from '../program-version.ts';

let known: string | undefined;

/**
 * Hash of the code that results are made by: the core as it runs, the names and versions of the libraries, and the engine,
 * whose sines may differ in the last digit.
 */
export function codeFingerprint(): string {
  known ??= computed();
  return known;
}

function computed(): string {
  const hash = createHash('sha256');
  const core = join(dirname(fileURLToPath(import.meta.url)), '..', '..', '..', 'core');
  for (const name of readdirSync(core, { recursive: true, encoding: 'utf8' }).sort()) {
    if (!/(?<!\.d)\.[jt]s$/.test(name)) continue;
    hash.update(`\n${name}\n`).update(readFileSync(join(core, name)));
  }
  hash.update(readFileSync(join(programFolder(), 'package.json')));
  const { v8, modules } = process.versions;
  return hash.update(`${process.platform} ${process.arch} ${v8} ${modules}`).digest('hex');
}
