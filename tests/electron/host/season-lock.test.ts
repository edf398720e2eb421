import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import {
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { diskLayer } from '../../../electron/host/file-layer.ts';
import { startOf } from '../../../electron/host/process-life.ts';
import { acquireLock, type SeasonLock } from '../../../electron/host/season-lock.ts';
import { TOP } from '../../structure/source-files.ts';

let folder: string;
const children: ChildProcess[] = [];

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sheaflight-lock-'));
});

afterEach(async () => {
  for (const child of children.splice(0)) child.kill('SIGKILL');
  rmSync(folder, { recursive: true });
});

async function locked(): Promise<SeasonLock> {
  const lock = await acquireLock(folder, diskLayer);
  if (!lock.ok) throw new Error(lock.error.text);
  return lock.value;
}

async function refusal() {
  const lock = await acquireLock(folder, diskLayer);
  if (lock.ok) throw new Error('locked, although it should have been refused');
  return lock.error;
}

/** The lock as another process would have left it. */
function leave(holder: object): void {
  writeFileSync(
    join(folder, 'season.lock'),
    JSON.stringify({ token: 'other', opened_utc: '2026-10-03T14:05:07.000Z', host: hostname(), ...holder }),
  );
}

function age(seconds: number): void {
  const then = new Date(Date.now() - seconds * 1000);
  utimesSync(join(folder, 'season.lock'), then, then);
}

describe('the lock of a season', () => {
  it('is held by one, and free when released', async () => {
    const first = await locked();
    expect(first.taken_over).toBe(false);
    expect((await refusal()).code).toBe('open_elsewhere');
    expect((await refusal()).text).toContain(
      `is open in another window or command on this computer (process ${process.pid}) since `,
    );
    await first.release();
    expect(readdirSync(folder)).toEqual([]);
    await (await locked()).release();
  });

  it('is taken over from a process that is no more', async () => {
    leave({ pid: 999_999_999 });
    const lock = await locked();
    expect(lock.taken_over).toBe(true);
    expect(await lock.isHeld()).toBe(true);
    expect(readdirSync(folder)).toEqual(['season.lock']);
  });

  it('is taken over when its number belongs to a later process', async () => {
    leave({ pid: process.ppid, started: 'long ago' });
    expect((await locked()).taken_over).toBe(true);
  });

  it('is respected when its process lives', async () => {
    leave({ pid: process.ppid, started: startOf(process.ppid) });
    expect((await refusal()).text).toMatch(
      /\(process \d+\) since 2026-10-03 14:05 UTC; close it there first\.$/,
    );
  });

  it('of another computer is respected while it beats, and no longer', async () => {
    leave({ pid: 1, host: 'barn-pc' });
    age(60);
    expect((await refusal()).text).toContain('is open on the computer barn-pc since');
    age(200);
    expect((await locked()).taken_over).toBe(true);
  });

  it('that says nothing is one that is just being written', async () => {
    writeFileSync(join(folder, 'season.lock'), '');
    expect((await refusal()).text).toContain('is being opened by another program at this moment');
    age(30);
    expect((await locked()).taken_over).toBe(true);
  });

  it('is noticed when someone else has it now, and put back when it was only swept away', async () => {
    const lock = await locked();
    rmSync(join(folder, 'season.lock'));
    expect(await lock.isHeld()).toBe(true);
    expect(existsSync(join(folder, 'season.lock'))).toBe(true);
    leave({ pid: process.ppid });
    expect(await lock.isHeld()).toBe(false);
    await lock.release();
    expect(JSON.parse(readFileSync(join(folder, 'season.lock'), 'utf8')).token).toBe('other');
  });

  it('says why when the folder is not there', async () => {
    const lock = await acquireLock(join(folder, 'gone'), diskLayer);
    expect(lock.ok === false && lock.error.text).toBe(
      'Could not open gone for changes: the folder is not there any more (look whether the disk is still connected). Nothing was lost: everything is as it was before.',
    );
  });

  it('goes to exactly one of several processes that find a dead one at the same moment', async () => {
    const script = join(TOP, 'dist/tests/electron/host/lock-racer.js');
    for (let i = 0; i < 4; i++) {
      const racer = fork(script, [folder], { stdio: 'inherit' });
      children.push(racer);
      await once(racer, 'message');
    }
    for (let round = 0; round < 25; round++) {
      leave({ pid: 999_999_999 });
      const answers = children.map((child) => once(child, 'message'));
      for (const child of children) child.send('race');
      const winners = (await Promise.all(answers)).filter(([answer]) => answer === true);
      expect(winners).toHaveLength(1);
      const released = children.map((child) => once(child, 'message'));
      for (const child of children) child.send('release');
      await Promise.all(released);
      expect(readdirSync(folder)).toEqual([]);
    }
  });
});
