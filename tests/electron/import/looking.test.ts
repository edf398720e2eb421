import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hashFile } from '../../../electron/host/file-hash.ts';
import { inspectPath } from '../../../electron/host/import-inspection.ts';
import { InspectionMemory } from '../../../electron/host/inspection-memory.ts';
import { InspectionThreads, twoAtATime } from '../../../electron/host/inspection-threads.ts';
import { writeLongLog } from '../../bench/long-log.ts';

const folder = mkdtempSync(join(tmpdir(), 'sheaflight-looking-'));
const log = join(folder, 'day.log');
/** More than what is read without a thread. */
const EDGES = 20_000;
const wish = { mappings: [] };

beforeAll(() => writeLongLog(log, EDGES));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('looking into files on threads', () => {
  it('finds what is found without them, and tells of every byte', async () => {
    const threads = new InspectionThreads();
    let read = 0;
    const onRead = (bytes: number) => {
      read += bytes;
    };
    try {
      const [away, again] = await twoAtATime([1, 2], () =>
        threads.inspect(log, 'day.log', { ...wish, onRead }),
      );
      const here = await inspectPath(log, 'day.log', wish);
      expect(await threads.inspect(log, 'day.log', wish)).toEqual(here);
      expect(away).toEqual(here);
      expect(again).toEqual(here);
      if (!away.ok || away.value.inspection.content.kind !== 'runs') throw new Error('not read as runs');
      expect(away.value.inspection.content.runs[0].edges).toBe(EDGES);
      expect(read).toBe(2 * away.value.bytes);
    } finally {
      await threads.close();
    }
  });

  it('stops when it is asked to', async () => {
    const threads = new InspectionThreads();
    try {
      const stopped = await threads.inspect(log, 'day.log', { ...wish, shouldStop: () => true });
      expect(stopped.ok || stopped.error.code).toBe('cancelled');
    } finally {
      await threads.close();
    }
  });

  it('keeps the order of its tasks', async () => {
    const waits = [3, 1, 2, 0];
    const made = await twoAtATime(waits, async (turns, k) => {
      for (let turn = 0; turn < turns; turn++) await Promise.resolve();
      return k;
    });
    expect(made).toEqual([0, 1, 2, 3]);
  });
});

describe('what an open season remembers of its files', () => {
  it('is believed while the file and its record are the same, and not after', async () => {
    const found = await inspectPath(log, 'day.log', wish);
    if (!found.ok) throw new Error(found.error.text);
    const memory = new InspectionMemory();
    const record = { path: 'logs/day.log', ...found.value, imported_utc: '', source_name: 'day.log' };
    memory.keep(log, await stat(log), found.value, wish);
    expect(await memory.recall(log, record, wish)).toBe(found.value);
    expect(await memory.recall(log, undefined, wish)).toBe(found.value);
    expect(await memory.recall(log, { ...record, sha256: '0'.repeat(64) }, wish)).toBeUndefined();

    memory.keep(log, await stat(log), found.value, wish);
    utimesSync(log, 1_700_000_000, 1_700_000_000);
    expect(await memory.recall(log, record, wish)).toBeUndefined();
  });

  it('of a table depends on the mappings that it may be read by', async () => {
    const table = join(folder, 'flow.csv');
    writeFileSync(table, 'time,latitude,longitude,flow\n'.concat('1,41.5,-93.5,10\n'.repeat(20)));
    const found = await inspectPath(table, 'flow.csv', wish);
    if (!found.ok) throw new Error(found.error.text);
    const memory = new InspectionMemory();
    memory.keep(table, await stat(table), found.value, wish);
    expect(await memory.recall(table, undefined, wish)).toBe(found.value);
    const mapping = { id: 'mine', columns: [] };
    expect(await memory.recall(table, undefined, { mappings: [mapping] })).toBeUndefined();
  });
});

describe('hashing on a thread', () => {
  it('sees the bytes that are handed on, each once and in order', async () => {
    const path = join(folder, 'large.bin');
    const bytes = new Uint8Array((33 << 20) + 5).map((_, i) => (i * 7919) >> 8);
    writeFileSync(path, bytes);
    const seen = createHash('sha256');
    let pieces = 0;
    const { sha256, bytes: count } = await hashFile(path, async (piece) => {
      // looked at a while after it was handed on, when the thread is done with it
      if (pieces++ % 8 === 0) await new Promise((resolve) => setTimeout(resolve, 2));
      seen.update(piece);
    });
    expect(count).toBe(bytes.length);
    expect(sha256).toBe(createHash('sha256').update(bytes).digest('hex'));
    expect(seen.digest('hex')).toBe(sha256);
  });

  it('ends with the error of what looks at the pieces', async () => {
    const looking = hashFile(join(folder, 'large.bin'), () => {
      throw new Error('enough');
    });
    await expect(looking).rejects.toThrow('enough');
  });
});
