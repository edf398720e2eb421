/** A folder of this process's own for fuzzing on the disk; gone when the process ends. */
import { mkdtempSync, readdirSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, relative } from 'node:path';

let scratch: string | undefined;

/** The same folder every time. */
export function scratchFolder(): string {
  if (scratch === undefined) {
    const made = realpathSync(mkdtempSync(join(tmpdir(), 'sheaflight-fuzz-')));
    process.once('exit', () => rmSync(made, { recursive: true, force: true }));
    scratch = made;
  }
  return scratch;
}

/** Paths of all that is no folder below `folder`, from there, sorted. */
export function filesBelow(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => !entry.isDirectory())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)))
    .sort();
}
