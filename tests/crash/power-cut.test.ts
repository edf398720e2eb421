import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { SingleEdit } from '../../core/edits.ts';
import { isPartName } from '../../electron/host/durable-write.ts';
import { hashFile } from '../../electron/host/file-hash.ts';
import { importFile } from '../../electron/host/import-file.ts';
import { SeasonStore } from '../../electron/host/season-store.ts';
import { smallSeason } from '../electron/host/small-season.ts';
import { countOf, nameOf } from './crash-lines.ts';
import { RecordingDisk, type UnflushedBytes } from './recording-disk.ts';

/** What was saved after so many operations of the disk. */
interface Saved {
  readonly operations: number;
  readonly count: number;
  readonly files: ReadonlyMap<string, string>;
}

let scratch: string;
let disk: RecordingDisk;
const saved: Saved[] = [];

beforeAll(async () => {
  scratch = mkdtempSync(join(tmpdir(), 'sheaflight-power-'));
  const folder = join(scratch, 'season');
  smallSeason(folder);
  writeFileSync(join(scratch, 'run.log'), '1000,1\n'.repeat(20_000));
  disk = new RecordingDisk(folder, ['season.json', 'logs/flow.csv']);
  const opened = await SeasonStore.open(folder, { layer: disk.layer });
  if (!opened.ok) throw new Error(opened.error.text);
  const store = opened.value;
  let files = new Map<string, string>();
  saved.push({ operations: 0, count: 0, files });
  const save = async (edits: readonly SingleEdit[]) => {
    const count = countOf(store.document.name) + 1;
    const several = [{ kind: 'rename_season', name: nameOf(count) } as const, ...edits];
    const season = await store.edit(store.revision, { kind: 'several', name: 'Step', edits: several });
    if (!season.ok) throw new Error(season.error.text);
    saved.push({ operations: disk.length, count, files });
  };
  await save([]);
  await save([{ kind: 'set_lag', field: 'Home', change: { transport_s: 12 } }]);
  const copy = await importFile(folder, join(scratch, 'run.log'), {
    into: 'logs',
    season: store.document,
    layer: disk.layer,
  });
  if (!copy.ok) throw new Error(copy.error.text);
  files = new Map([[copy.value.record.path, copy.value.record.sha256]]);
  await save([{ kind: 'record_files', files: [copy.value.record] }]);
  await save([]);
  await store.close();
}, 180_000);

afterAll(() => rmSync(scratch, { recursive: true, force: true }));

/** The season as it comes up after the cut. */
async function cameUp(count: number, names: number, unflushed: UnflushedBytes): Promise<void> {
  const folder = join(scratch, 'after');
  disk.play(folder, count, names, unflushed);
  const opened = await SeasonStore.open(folder);
  if (!opened.ok) throw new Error(opened.error.text);
  const store = opened.value;
  const was = saved.findLast(({ operations }) => operations <= count) ?? saved[0];
  const found = countOf(store.document.name);
  expect([found, found === was.count || found === was.count + 1]).toEqual([found, true]);
  const records = new Map(store.document.files?.map(({ path, sha256 }) => [path, sha256]));
  for (const path of was.files.keys()) expect(records.has(path)).toBe(true);
  for (const [path, sha256] of records) expect((await hashFile(join(folder, path))).sha256).toBe(sha256);
  await store.close();
  const left = readdirSync(folder, { recursive: true, encoding: 'utf8' });
  expect(left.filter((path) => isPartName(path.split('/').at(-1) ?? ''))).toEqual([]);
  rmSync(folder, { recursive: true });
}

it('a power cut after any operation of the disk loses nothing that was saved', async () => {
  let cuts = 0;
  for (let count = 0; count <= disk.length; count++) {
    for (let names = disk.flushedNames(count); names <= count; names++) {
      for (const unflushed of ['there', 'half', 'gone'] as const) {
        try {
          await cameUp(count, names, unflushed);
        } catch (caught) {
          throw new Error(
            `cut after ${count} operations, ${names} of them in the folders, bytes ${unflushed}`,
            {
              cause: caught,
            },
          );
        }
        cuts++;
      }
    }
  }
  console.info(`${cuts} power cuts at ${disk.length + 1} moments`);
  expect(cuts).toBeGreaterThan(300);
}, 180_000);
