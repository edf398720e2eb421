import type { ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { describe, expect, it } from 'vitest';
import { SeasonLibrary } from './season-library.ts';

const NAMES = ['alder', 'birch', 'cedar'];
const library = new SeasonLibrary(NAMES);
const isLinux = process.platform === 'linux';

/** Moments at which a run is cut off. */
const MOMENTS = {
  'a season is being computed': () => childrenOf(started).length > 0,
  'files are being written': () => NAMES.some((name) => namesIn(name).some((file) => file.endsWith('.part'))),
  'one season is done': () => NAMES.some((name) => namesIn(name).includes('built.json')),
} as const;

let started: ChildProcess;
/** What an uninterrupted run makes of each season: the same in every test, made in the first. */
let uninterrupted: Record<string, string>[] | undefined;

/** Waits for the moment, or for the end of the run if it was missed. */
async function until(moment: keyof typeof MOMENTS): Promise<void> {
  while (started.exitCode === null && !MOMENTS[moment]()) await pause(1);
}

function namesIn(name: string): string[] {
  const out = join(library.home, name, 'out');
  return existsSync(out) ? readdirSync(out) : [];
}

/** Numbers of the processes that it has started and that still run. */
function childrenOf({ pid }: ChildProcess): number[] {
  try {
    return readFileSync(`/proc/${pid}/task/${pid}/children`, 'utf8')
      .trim()
      .split(' ')
      .filter(Boolean)
      .map(Number);
  } catch {
    return [];
  }
}

async function gone(processes: readonly number[]): Promise<void> {
  const isThere = (pid: number) => /^State:\s+[^ZX]/m.test(readSafely(`/proc/${pid}/status`));
  while (processes.some(isThere)) await pause(5);
}

function readSafely(path: string): string {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return '';
  }
}

/** Results are there whole, or not at all; the same command makes the rest, and the bytes are those of an uninterrupted run. */
async function expectItGoesOn(): Promise<void> {
  const done = NAMES.filter((name) => namesIn(name).includes('built.json'));
  expect(await library.states()).toEqual(
    NAMES.map((name) => `${name}: ${done.includes(name) ? 'unchanged' : 'built'}`),
  );
  if (uninterrupted === undefined) {
    const whole = library.beside('whole');
    expect(await library.buildAll('--out', whole, '--no-cache', '--quiet')).toEqual({
      code: 0,
      out: '',
      err: '',
    });
    uninterrupted = NAMES.map((name) => library.outputs(join(whole, name)));
  }
  for (const [k, name] of NAMES.entries()) {
    expect(namesIn(name).sort()).toEqual([
      'built.json',
      'loads.html',
      'points.geojson',
      'report.html',
      'summary.json',
    ]);
    expect(library.outputs(join(library.home, name, 'out'))).toEqual(uninterrupted[k]);
  }
}

describe.runIf(isLinux)('sheaflight build --all, cut off', () => {
  it('goes on where it was killed, at one moment after the other', async () => {
    for (const moment of Object.keys(MOMENTS) as (keyof typeof MOMENTS)[]) {
      started = library.started('--jobs', '2');
      await until(moment);
      const left = childrenOf(started);
      const ended = once(started, 'exit');
      started.kill('SIGKILL');
      await ended;
      // nobody waits for them, and they see it
      await gone(left);
    }
    await expectItGoesOn();
  });

  it.each(['a season is being computed', 'files are being written'] as const)(
    'builds the others when a process is killed while %s',
    async (moment) => {
      started = library.started('--jobs', '2');
      const ended = once(started, 'exit');
      await until(moment);
      const [victim] = childrenOf(started);
      if (victim !== undefined) process.kill(victim, 'SIGKILL');
      const [code] = await ended;
      const done = NAMES.filter((name) => namesIn(name).includes('built.json'));
      expect(done.length).toBeGreaterThanOrEqual(2);
      // all may be done: one that was killed after its last word, or after its last file
      expect([1, ...(done.length === 3 ? [0] : [])]).toContain(code);
      await expectItGoesOn();
    },
  );

  it('ends with 130 when it is told to stop, with nothing half-written', async () => {
    for (const signal of ['SIGINT', 'SIGTERM'] as const) {
      started = library.started('--jobs', '2', '--again');
      const ended = once(started, 'exit');
      await until('files are being written');
      const left = childrenOf(started);
      started.kill(signal);
      expect(await ended).toEqual([130, null]);
      await gone(left);
      for (const name of NAMES) expect(namesIn(name).filter((file) => file.endsWith('.part'))).toEqual([]);
    }
    await expectItGoesOn();
  });
});
