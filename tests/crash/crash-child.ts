/**
 * A process that works on a season until it is killed: it copies files in, edits, builds and writes results, in an order
 * drawn from its seed. Every line that it prints is whole: `begin` before it does something, `done` only once the host
 * has said that it is saved.
 *
 * Every change counts the season's name up ("Crash 17"), so that whoever looks afterwards can see how far it came.
 */
import { readdirSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import type { SingleEdit } from '../../core/edits.ts';
import { encodeSeason } from '../../core/season-file.ts';
import { writeFiles } from '../../electron/host/atomic-write.ts';
import { importFile } from '../../electron/host/import-file.ts';
import { outputFiles } from '../../electron/host/output-files.ts';
import { writeSpan } from '../../electron/host/season-card.ts';
import { SeasonStore } from '../../electron/host/season-store.ts';
import { WorkerPool } from '../../electron/host/worker-pool.ts';
import { Random } from '../synthetic/random.ts';
import { type CrashLine, countOf, nameOf } from './crash-lines.ts';

const [folder, sources, seed] = process.argv.slice(2);
const random = new Random(Number(seed), 'work');
const pool = new WorkerPool();

function tell(line: CrashLine): void {
  writeSync(1, `${JSON.stringify(line)}\n`);
}

const opened = await SeasonStore.open(folder);
if (!opened.ok) throw new Error(opened.error.text);
const store = opened.value;
tell({ kind: 'opened', count: countOf(store.document.name) });
for (;;) {
  const draw = random.uniform();
  if (draw < 0.6) await edit();
  else if (draw < 0.9) await takeIn();
  else await build();
}

/** Saves `edits` together with the next count. */
async function save(edits: readonly SingleEdit[]): Promise<number> {
  const count = countOf(store.document.name) + 1;
  const name = nameOf(count);
  const several = [{ kind: 'rename_season', name } as const, ...edits];
  const saved = await store.edit(store.revision, { kind: 'several', name: `Step ${count}`, edits: several });
  if (!saved.ok) throw new Error(saved.error.text);
  return count;
}

async function edit(): Promise<void> {
  tell({ kind: 'begin', what: 'edit' });
  const transport_s = Math.round(random.between(0, 200)) / 10;
  const count = await save([{ kind: 'set_lag', field: 'Home', change: { transport_s } }]);
  tell({ kind: 'done', what: 'edit', count });
}

async function takeIn(): Promise<void> {
  tell({ kind: 'begin', what: 'import' });
  const names = readdirSync(sources);
  const source = join(sources, names[random.integer(names.length)]);
  const copy = await importFile(folder, source, { into: 'logs', season: store.document });
  if (!copy.ok) throw new Error(copy.error.text);
  const { record } = copy.value;
  const count = await save([{ kind: 'record_files', files: [record] }]);
  tell({ kind: 'done', what: 'import', count, path: record.path, sha256: record.sha256 });
}

async function build(): Promise<void> {
  tell({ kind: 'begin', what: 'build' });
  const task = { folder: store.folder, sheet: encodeSeason(store.document) };
  const run = await pool.run(task, { onProgress: () => undefined, signal: new AbortController().signal });
  if (!run.ok) throw new Error(run.error.text);
  const written = await writeFiles(join(folder, 'out'), outputFiles(run.value, 'all'));
  if (!written.ok) throw new Error(written.error.text);
  await writeSpan(folder, run.value.result, store.layer);
  tell({ kind: 'done', what: 'build', count: countOf(store.document.name) });
}
