/**
 * `built.json` beside the results of a season: what they were made of, and what they are. It is written last, and counts only as long
 * as every file is as it names it, so that whoever comes next, on whatever machine, can tell what is done already.
 */
import { createHash } from 'node:crypto';
import { readFile, stat } from 'node:fs/promises';
import { join, relative, sep } from 'node:path';
import * as z from 'zod';
import type { WrittenFile } from '../atomic-write.ts';
import { writersFingerprint } from '../cache/code-fingerprint.ts';
import { type ResultGrounds, resultKey } from '../cache/season-cache.ts';
import { writeDurably } from '../durable-write.ts';
import { hashFile } from '../file-hash.ts';
import type { FileLayer } from '../file-layer.ts';
import { generatedBy } from '../program-version.ts';
import type { SeasonOutputs } from './build-messages.ts';

/** Beside the results that it tells of. */
export const RECORD_FILE = 'built.json';
const FORMAT = 'sheaflight-built/1';

const recordSchema = z.object({
  format: z.literal(FORMAT),
  /** SHA-256 of the sheet, of the content of every file that it lists, of what was chosen, and of the program. */
  key: z.string(),
  generated_by: z.string(),
  /** By path from the folder of the record, with `/` between. */
  files: z.array(z.object({ path: z.string(), bytes: z.number(), sha256: z.string() })),
});

/** What the results hang on: the same key, the same bytes. */
export function builtKey(grounds: ResultGrounds, outputs: SeasonOutputs): string {
  const { points, eachField, exports } = outputs;
  const chosen = [points, eachField, exports?.formats, exports?.layers, exports?.units];
  return createHash('sha256')
    .update(JSON.stringify([FORMAT, resultKey(grounds), writersFingerprint(), chosen]))
    .digest('hex');
}

/** Whether something was built there at all; without that there is nothing to compare. */
export function hasRecord(out: string): Promise<boolean> {
  return stat(join(out, RECORD_FILE)).then(
    () => true,
    () => false,
  );
}

/** Whether `out` holds what this key stands for, all of it and byte for byte. */
export async function isBuilt(out: string, key: string): Promise<boolean> {
  try {
    const record = recordSchema.parse(JSON.parse(await readFile(join(out, RECORD_FILE), 'utf8')));
    if (record.key !== key) return false;
    for (const { path, bytes, sha256 } of record.files) {
      const place = join(out, path);
      if ((await stat(place)).size !== bytes || (await hashFile(place)).sha256 !== sha256) return false;
    }
    return true;
  } catch {
    // no record, none of ours, or a file that is not there: it is built again
    return false;
  }
}

/** Writes the record of files that are all in their places. Throws with Node's code when the disk refuses. */
export async function writeRecord(
  out: string,
  key: string,
  files: readonly WrittenFile[],
  layer: FileLayer,
): Promise<void> {
  const listed = [];
  for (const { path } of files)
    listed.push({ path: relative(out, path).split(sep).join('/'), ...(await hashFile(path)) });
  const record: z.infer<typeof recordSchema> = {
    format: FORMAT,
    key,
    generated_by: generatedBy(),
    files: listed.map(({ path, bytes, sha256 }) => ({ path, bytes, sha256 })),
  };
  const text = `${JSON.stringify(record, null, 2)}\n`;
  await writeDurably(join(out, RECORD_FILE), new TextEncoder().encode(text), layer);
}
