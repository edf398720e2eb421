/** What lies in a partitioned data set beside what was just written: fields that were renamed or went, which queries go on counting. */
import { readdir } from 'node:fs/promises';
import { join, relative, sep } from 'node:path';
import type { Notice } from '../../../core/errors.ts';
import type { WrittenFile } from '../atomic-write.ts';

/** One notice a data set in `out` that holds other files. Nothing is removed: somebody may have put them there. */
export async function otherPartitions(out: string, written: readonly WrittenFile[]): Promise<Notice[]> {
  const names = new Set(written.map(({ path }) => relative(out, path).split(sep).join('/')));
  const sets = new Set([...names].flatMap((name) => /^([^=]*)\/[^/]*=/.exec(name)?.[1] ?? []));
  const notices: Notice[] = [];
  for (const set of sets) {
    const entries = await readdir(join(out, set), { recursive: true, withFileTypes: true }).catch(() => []);
    const others = entries
      .filter((entry) => entry.isFile() && entry.name.endsWith('.parquet'))
      .map((entry) => relative(out, join(entry.parentPath, entry.name)).split(sep).join('/'))
      .filter((name) => !names.has(name))
      .sort();
    if (others.length === 0) continue;
    const text = `${set} also holds what was not written now (${others.length === 1 ? others[0] : `${others.length} files, the first ${others[0]}`}), perhaps of a field that was renamed; a query over the folder counts it too. Remove it if it is not wanted.`;
    notices.push({ code: 'other_partitions', severity: 'look', source: set, count: others.length, text });
  }
  return notices;
}
