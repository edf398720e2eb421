import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { failure, success } from '../../../core/errors.ts';
import type { ImportReport, JobReply } from '../../../core/host-contract.ts';
import { type JobContext, Jobs, type JobWork } from '../../../electron/host/jobs.ts';
import { WorkerFault, WorkerPool } from '../../../electron/host/worker-pool.ts';
import { smallSeason } from './small-season.ts';

let scratch: string;
let pool: WorkerPool | undefined;

beforeAll(() => {
  scratch = mkdtempSync(join(tmpdir(), 'sheaflight-pool-'));
  smallSeason(scratch);
});

afterEach(async () => {
  await pool?.close();
  pool = undefined;
});

afterAll(() => rmSync(scratch, { recursive: true }));

/** A pool whose workers run `script` instead of the real one. */
function poolOf(script: string, patience_ms = 100): WorkerPool {
  const path = join(scratch, `worker-${script.length}.mjs`);
  writeFileSync(path, `import { parentPort, threadId } from 'node:worker_threads';\n${script}`);
  pool = new WorkerPool({ size: 2, patience_ms, script: path });
  return pool;
}

const task = (folder: string) => ({ folder, sheet: '' });
const hooks = (signal = new AbortController().signal) => ({ onProgress: () => undefined, signal });

/** Answers each order after a while with the thread that it is, sooner when it is told to stop. */
const OBEDIENT = `parentPort.on('message', ({ task, stop }) => {
  const flag = new Int32Array(stop);
  const end = (text) => parentPort.postMessage({ kind: 'ended', result: { ok: false, error: { code: 'x', source: '', text }, notices: [] } });
  const look = (left) => left <= 0 || Atomics.load(flag, 0) ? end(String(threadId)) : setTimeout(look, 5, left - 5);
  look(60);
});`;

describe('worker threads', () => {
  it('run the chain as it runs here', async () => {
    pool = new WorkerPool();
    const sheet = readFileSync(join(scratch, 'season.json'), 'utf8');
    const stages: string[] = [];
    const run = await pool.run(
      { folder: scratch, sheet },
      { onProgress: (stage) => stages.push(stage), signal: new AbortController().signal },
    );
    if (!run.ok) throw new Error(run.error.text);
    expect(stages[0]).toBe('reading logs');
    expect(run.value.result.points[0].t_s).toBeInstanceOf(Float64Array);
    const { runSeason } = await import('../../../electron/host/run-season.ts');
    const here = await runSeason(scratch, () => undefined);
    expect(run.value.result).toEqual(here.ok && here.value.result);
  });

  it('are few: what is more waits, and a season goes to the one that had it before', async () => {
    const two = poolOf(OBEDIENT);
    const threadOf = async (name: string) => {
      const run = await two.run(task(name), hooks());
      return run.ok ? '' : run.error.text;
    };
    const [a, b, c] = await Promise.all(['a', 'b', 'c'].map(threadOf));
    expect(a).not.toBe(b);
    expect([a, b]).toContain(c);
    const last = c === a ? ['b', b] : ['a', a];
    expect(await threadOf('c')).toBe(c);
    expect(await threadOf(last[0])).toBe(last[1]);
    expect(await threadOf('c')).toBe(c);
  });

  it('stop when they are told to, waiting or running', async () => {
    const two = poolOf(OBEDIENT);
    const stops = ['a', 'b', 'c'].map(() => new AbortController());
    const runs = stops.map((stop, i) => two.run(task(String(i)), hooks(stop.signal)));
    for (const stop of stops) stop.abort();
    const codes = (await Promise.all(runs)).map((run) => run.ok === false && run.error.code);
    expect(codes).toEqual(['cancelled', 'cancelled', 'cancelled']);
    const aborted = await two.run(task('d'), hooks(stops[0].signal));
    expect(aborted.ok === false && aborted.error.code).toBe('cancelled');
  });

  it('that do not listen are ended, and replaced', async () => {
    const deaf = poolOf(`parentPort.on('message', () => { for (;;); });`);
    const stop = new AbortController();
    const run = deaf.run(task('a'), hooks(stop.signal));
    setTimeout(() => stop.abort(), 50);
    const started_ms = Date.now();
    expect(await run).toMatchObject({ ok: false, error: { code: 'cancelled' } });
    expect(Date.now() - started_ms).toBeLessThan(5000);
    const next = new AbortController();
    const second = deaf.run(task('a'), hooks(next.signal));
    next.abort();
    expect(await second).toMatchObject({ ok: false, error: { code: 'cancelled' } });
  });

  it('that fail tell how, and the next task has a new one', async () => {
    const failing = poolOf(`parentPort.on('message', ({ task }) => {
      if (task.folder === 'fault') parentPort.postMessage({ kind: 'fault', stack: 'Error: at x' });
      else if (task.folder === 'throw') throw new Error('thrown in the worker');
      else if (task.folder === 'exit') process.exit(1);
      else parentPort.postMessage({ kind: 'ended', result: { ok: true, value: 1, notices: [] } });
    });`);
    const fault = await failing.run(task('fault'), hooks()).catch((caught: unknown) => caught);
    expect(fault).toBeInstanceOf(WorkerFault);
    expect((fault as Error).stack).toBe('Error: at x');
    await expect(failing.run(task('throw'), hooks())).rejects.toThrow('thrown in the worker');
    expect(await failing.run(task('exit'), hooks())).toMatchObject({ ok: false });
    expect(await failing.run(task('fine'), hooks())).toMatchObject({ ok: true });
  });

  it('make a season ready for changes when its result came from the cache, until something is asked for', async () => {
    const script = `let orders = [];
      parentPort.on('message', async ({ task, stop }) => {
        orders.push(task.purpose ?? 'result');
        const flag = new Int32Array(stop);
        while (task.purpose === 'warming' && Atomics.load(flag, 0) === 0) await new Promise((r) => setTimeout(r, 5));
        const value = { isFromCache: orders.length === 1 ? true : undefined, orders, threadId };
        parentPort.postMessage({ kind: 'ended', result: { ok: true, value, notices: [] } });
      });`;
    const path = join(scratch, 'warming.mjs');
    writeFileSync(path, `import { parentPort, threadId } from 'node:worker_threads';\n${script}`);
    pool = new WorkerPool({ size: 2, script: path, warming_after_ms: 20 });
    const reported = async () => {
      const run = await pool?.run(task('a'), hooks());
      return run?.ok ? (run.value as unknown as { orders: string[]; threadId: number }) : undefined;
    };
    const first = await reported();
    await new Promise((resolve) => setTimeout(resolve, 300));
    const second = await reported();
    expect(second?.orders).toEqual(['result', 'warming', 'result']);
    expect(second?.threadId).toBe(first?.threadId);
  });

  it('end with the pool', async () => {
    const two = poolOf(OBEDIENT);
    const runs = ['a', 'b', 'c'].map((name) => two.run(task(name), hooks()));
    await two.close();
    for (const run of await Promise.all(runs))
      expect(run).toMatchObject({ ok: false, error: { code: 'cancelled' } });
  });
});

describe('jobs', () => {
  const fault = { code: 'internal_fault', source: 'program', text: 'The program itself failed.' };
  const report: ImportReport = { files: [], gaps: [], overlaps: [], questions: [], notices: [] };

  /** Work that ends when it is told to. */
  function held(): { work: JobWork; end: () => void; context: () => JobContext | undefined } {
    let end: () => void = () => undefined;
    let context: JobContext | undefined;
    const ended = new Promise<void>((resolve) => {
      end = resolve;
    });
    const work: JobWork = async (given) => {
      context = given;
      await Promise.race([
        ended,
        new Promise<void>((resolve) => given.signal.addEventListener('abort', () => resolve())),
      ]);
      if (given.signal.aborted) return failure({ code: 'cancelled', source: '', text: 'Stopped.' });
      return success(report);
    };
    return { work, end: () => end(), context: () => context };
  }

  async function settled(jobs: Jobs, job: JobReply): Promise<JobReply> {
    return new Promise((resolve) => {
      jobs.watch(job.job, (reply) => {
        if (reply.state !== 'queued' && reply.state !== 'running') resolve(reply);
      });
    });
  }

  it('tell how far they are, also to those who ask late', async () => {
    const jobs = new Jobs(() => fault);
    const { work, end, context } = held();
    const job = jobs.start('s', 'build', work);
    await Promise.resolve();
    await Promise.resolve();
    context()?.progress('reading logs', 0.25);
    expect(jobs.get(job.job)).toMatchObject({ state: 'running', stage: 'reading logs', fraction: 0.25 });
    end();
    expect(await settled(jobs, job)).toMatchObject({ state: 'done', fraction: 1, report });
    expect(await settled(jobs, job)).toMatchObject({ state: 'done' });
    expect(jobs.get('unknown')).toBeUndefined();
  });

  it('of one season: the latest build wins, imports follow one another, other seasons go on', async () => {
    const jobs = new Jobs(() => fault);
    const [a, b, other, first, second] = [held(), held(), held(), held(), held()];
    const builds = [jobs.start('s', 'build', a.work), jobs.start('t', 'build', other.work)];
    const imports = [jobs.start('s', 'import', first.work), jobs.start('s', 'import', second.work)];
    builds.push(jobs.start('s', 'build', b.work));
    expect(await settled(jobs, builds[0])).toMatchObject({ state: 'cancelled' });
    expect(second.context()).toBeUndefined();
    first.end();
    expect(await settled(jobs, imports[0])).toMatchObject({ state: 'done' });
    second.end();
    expect(await settled(jobs, imports[1])).toMatchObject({ state: 'done' });
    for (const one of [b, other]) one.end();
    expect(await settled(jobs, builds[1])).toMatchObject({ state: 'done' });
    expect(await settled(jobs, builds[2])).toMatchObject({ state: 'done' });
  });

  it('can be cancelled, one or all of a season', async () => {
    const jobs = new Jobs(() => fault);
    const [a, b, c] = [held(), held(), held()];
    const job = jobs.start('s', 'build', a.work);
    jobs.cancel(job.job);
    expect(await settled(jobs, job)).toMatchObject({ state: 'cancelled' });
    const waiting = [jobs.start('s', 'import', b.work), jobs.start('s', 'import', c.work)];
    await jobs.cancelSeason('s');
    expect(waiting.map(({ job: id }) => jobs.get(id)?.state)).toEqual(['cancelled', 'cancelled']);
  });

  it('that fail by a mistake of ours say so, and it is reported', async () => {
    let reported: unknown;
    const jobs = new Jobs((caught) => {
      reported = caught;
      return fault;
    });
    const job = jobs.start('s', 'build', async () => {
      throw new TypeError('ours');
    });
    expect(await settled(jobs, job)).toMatchObject({ state: 'failed', error: { code: 'internal_fault' } });
    expect(reported).toBeInstanceOf(TypeError);
  });
});
