/** What the cache goes by instead of version numbers that somebody would have to remember to raise. */
import { createHash, type Hash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { programFolder } from '../program-version.ts';

let known: string | undefined;
let knownWriters: string | undefined;

/**
 * Hash of the code that results are made by: the core as it runs, the names and versions of the libraries, and the engine,
 * whose sines may differ in the last digit.
 */
export function codeFingerprint(): string {
  known ??= computed();
  return known;
}

/** Hash of that and of the host, which reads what results are made of and writes what is made of them. */
export function writersFingerprint(): string {
  knownWriters ??= withFilesOf('electron/host', createHash('sha256').update(codeFingerprint())).digest('hex');
  return knownWriters;
}

function computed(): string {
  const hash = withFilesOf('core', createHash('sha256'));
  hash.update(readFileSync(join(programFolder(), 'package.json')));
  const { v8, modules } = process.versions;
  return hash.update(`${process.platform} ${process.arch} ${v8} ${modules}`).digest('hex');
}

/** The code of a folder of the program as it runs. */
function withFilesOf(folder: string, hash: Hash): Hash {
  const top = join(dirname(fileURLToPath(import.meta.url)), '..', '..', '..', folder);
  for (const name of readdirSync(top, { recursive: true, encoding: 'utf8' }).sort()) {
    if (!/(?<!\.d)\.[jt]s$/.test(name)) continue;
    hash.update(`\n${name}\n`).update(readFileSync(join(top, name)));
  }
  return hash;
}
