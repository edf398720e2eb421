import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { writeFiles } from '../../../electron/host/atomic-write.ts';
import { almostFullDisk, failingDisk } from './spoiled-disk.ts';

let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sheaflight-write-'));
});

afterEach(() => rmSync(folder, { recursive: true }));

const file = (name: string, ...pieces: string[]) => ({ name, pieces });

async function sentence(...args: Parameters<typeof writeFiles>): Promise<string> {
  const written = await writeFiles(...args);
  if (written.ok) throw new Error('written, although it should have failed');
  return written.error.text;
}

describe('writeFiles', () => {
  it('makes the folder and writes every piece in order, as UTF-8', async () => {
    const out = join(folder, 'new/out');
    const written = await writeFiles(out, [file('a.txt', 'größer ', 'und ', 'größer'), file('b.txt')]);
    expect(written.ok && written.value).toEqual([
      { path: join(out, 'a.txt'), bytes: 21 },
      { path: join(out, 'b.txt'), bytes: 0 },
    ]);
    expect(readFileSync(join(out, 'a.txt'), 'utf8')).toBe('größer und größer');
    expect(readdirSync(out)).toEqual(['a.txt', 'b.txt']);
  });

  it('leaves nothing half-written when the disk fills up, and the earlier files as they were', async () => {
    writeFileSync(join(folder, 'a.txt'), 'earlier');
    const long = 'x'.repeat(3_000_000);
    const files = [file('a.txt', 'new'), file('b.txt', long, long)];
    expect(await sentence(folder, files, { layer: almostFullDisk(2_000_000) })).toBe(
      `could not write b.txt in ${folder}: the disk is full; free some space or write to another folder. Nothing half-written was left, and earlier files are as they were.`,
    );
    expect(readdirSync(folder)).toEqual(['a.txt']);
    expect(readFileSync(join(folder, 'a.txt'), 'utf8')).toBe('earlier');
  });

  it('says why for each thing that a disk can answer', async () => {
    const files = [file('a.txt', 'new')];
    expect(await sentence(folder, files, { layer: failingDisk('openForWriting', 'EACCES') })).toContain(
      'you may not write there',
    );
    expect(await sentence(folder, files, { layer: failingDisk('openForWriting', 'EROFS') })).toContain(
      'the disk can only be read',
    );
    expect(await sentence(folder, files, { layer: failingDisk('makeFolder', 'EIO') })).toBe(
      `could not write the folder ${folder}: the system answered EIO. Nothing half-written was left, and earlier files are as they were.`,
    );
    expect(await sentence(folder, files, { layer: failingDisk('rename', 'EBUSY') })).toContain(
      'another program holds the file open',
    );
    expect(readdirSync(folder)).toEqual([]);
  });

  it('does not write over a folder, nor into a file', async () => {
    mkdirSync(join(folder, 'a.txt'));
    expect(await sentence(folder, [file('b.txt', 'new'), file('a.txt', 'new')])).toContain(
      'a folder of that name stands there',
    );
    expect(readdirSync(folder)).toEqual(['a.txt']);
    writeFileSync(join(folder, 'taken'), '');
    expect(await sentence(join(folder, 'taken'), [file('b.txt', 'new')])).toContain(
      'a file of that name stands where',
    );
    expect(await sentence(join(folder, 'taken/deeper'), [file('b.txt', 'new')])).toContain(
      'a part of the path is a file',
    );
  });

  it.runIf(existsSync('/proc/self'))('does not wait for ever where no folder can be made', async () => {
    const written = await sentence('/proc/sheaflight/out', [file('b.txt', 'new')]);
    expect(written).toContain('the system does not let a folder be made there');
  });

  it('stops when told to, and cleans up', async () => {
    const stop = new AbortController();
    function* pieces() {
      yield 'x'.repeat(2_000_000);
      stop.abort();
      yield 'x'.repeat(2_000_000);
    }
    const written = await writeFiles(folder, [{ name: 'a.txt', pieces: pieces() }], { signal: stop.signal });
    expect(written.ok === false && written.error.code).toBe('stopped');
    expect(readdirSync(folder)).toEqual([]);
  });

  it('clears away what a killed run has left, but not what a living one is writing', async () => {
    writeFileSync(join(folder, '.a.txt.999999999.part'), 'half');
    writeFileSync(join(folder, `.c.txt.${process.ppid}.part`), 'half');
    await writeFiles(folder, [file('b.txt', 'new')]);
    expect(readdirSync(folder)).toEqual([`.c.txt.${process.ppid}.part`, 'b.txt']);
  });

  it('lets our own mistakes through', async () => {
    function* pieces(): Generator<string> {
      yield 'x';
      throw new RangeError('a mistake of ours');
    }
    await expect(writeFiles(folder, [{ name: 'a.txt', pieces: pieces() }])).rejects.toThrow(
      'a mistake of ours',
    );
    expect(readdirSync(folder)).toEqual([]);
  });
});
