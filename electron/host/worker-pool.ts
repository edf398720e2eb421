/** A few worker threads, and the tasks that wait for one. */
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import { failure, type Notice, type Result } from '../../core/errors.ts';
import { codeOf } from './file-layer.ts';
import {
  type BuildTask,
  cancelled,
  type LeaveOrder,
  type WorkerNews,
  type WorkerOrder,
} from './job-messages.ts';
import { programFolder } from './program-version.ts';
import type { SeasonRun } from './run-season.ts';

export interface PoolOptions {
  /** Threads; two, so that one season can be built while another one is. */
  readonly size?: number;
  /** How long a task may go on after it was asked to stop, before its thread is ended, ms. */
  readonly patience_ms?: number;
  /** How long nobody must ask for anything before a season from the cache is made ready for changes, ms. */
  readonly warming_after_ms?: number;
  /** The compiled worker. */
  readonly script?: string;
  /** Told what has become of keeping a season's results on its disk. */
  readonly onRemark?: (folder: string, notice: Notice) => void;
}

export interface TaskHooks {
  readonly onProgress: (stage: string, fraction: number) => void;
  readonly signal: AbortSignal;
}

/** Thrown for a mistake of ours in a worker; `stack` is the worker's own. */
export class WorkerFault extends Error {
  constructor(stack: string) {
    super('a worker thread failed');
    this.stack = stack;
  }
}

interface Waiting {
  readonly task: BuildTask;
  readonly hooks: TaskHooks;
  readonly resolve: (result: Result<SeasonRun>) => void;
  readonly reject: (fault: unknown) => void;
}

interface Thread {
  readonly worker: Worker;
  /** Which season it ran last: it may still have something of it in its memory. */
  last: string | undefined;
  isBusy: boolean;
  /** Stops what it does while nobody waits for it. */
  warming: AbortController | undefined;
}

/** Until then the window has fetched and drawn what it asked for. A choice of ours. */
const WARMING_AFTER_MS = 1500;

/** Stages look at the flag every second or two on large seasons; a thread that does not within this is stuck in one. */
const PATIENCE_MS = 5000;

export class WorkerPool {
  readonly #size: number;
  readonly #patience_ms: number;
  readonly #warming_after_ms: number;
  readonly #script: string;
  #threads: Thread[] = [];
  #waiting: Waiting[] = [];
  #warmSoon: NodeJS.Timeout | undefined;
  readonly #leaving = new Map<Worker, { readonly folder: string; readonly done: () => void }>();
  readonly #onRemark: (folder: string, notice: Notice) => void;

  constructor(options: PoolOptions = {}) {
    this.#size = options.size ?? 2;
    this.#onRemark = options.onRemark ?? (() => undefined);
    this.#patience_ms = options.patience_ms ?? PATIENCE_MS;
    this.#warming_after_ms = options.warming_after_ms ?? WARMING_AFTER_MS;
    this.#script = options.script ?? join(programFolder(), 'dist', 'electron', 'host', 'job-worker.js');
  }

  /** Runs the task when a thread is free. Ends with `cancelled` soon after `signal` is aborted. Rejects on a mistake of ours. */
  run(task: BuildTask, hooks: TaskHooks): Promise<Result<SeasonRun>> {
    if (hooks.signal.aborted) return Promise.resolve(cancelled());
    clearTimeout(this.#warmSoon);
    for (const { warming } of this.#threads) warming?.abort();
    return new Promise((resolve, reject) => {
      const waiting: Waiting = { task, hooks, resolve, reject };
      this.#waiting.push(waiting);
      hooks.signal.addEventListener(
        'abort',
        () => {
          if (!this.#waiting.includes(waiting)) return;
          this.#waiting = this.#waiting.filter((one) => one !== waiting);
          resolve(cancelled());
        },
        { once: true },
      );
      this.#next();
    });
  }

  /** Starts a thread before it is needed: it loads the program while the season is opened. */
  prepare(): void {
    if (this.#threads.length === 0) this.#newThread();
  }

  /**
   * Lets go of a season that is closed: nothing is done for it any more that nobody asked for, and what waits to be kept is
   * written, within a few seconds, so that its folder can be moved then.
   */
  async leave(folder: string): Promise<void> {
    clearTimeout(this.#warmSoon);
    const known = this.#threads.filter(({ last }) => last === folder);
    for (const { warming } of known) warming?.abort();
    await Promise.all(known.map(({ worker }) => this.#left(worker, folder)));
  }

  #left(worker: Worker, folder: string): Promise<void> {
    return new Promise((resolve) => {
      const done = () => {
        clearTimeout(late);
        this.#leaving.delete(worker);
        resolve();
      };
      const late = setTimeout(done, MOST_LEAVING_MS);
      this.#leaving.set(worker, { folder, done });
      worker.postMessage({ leave: folder } satisfies LeaveOrder);
    });
  }

  /** Ends all threads; what they do ends with `cancelled`. */
  async close(): Promise<void> {
    clearTimeout(this.#warmSoon);
    for (const { resolve } of this.#waiting.splice(0)) resolve(cancelled());
    await Promise.all(this.#threads.map(({ worker }) => worker.terminate()));
  }

  /**
   * Runs the task for what its thread remembers of it, once nobody has asked for anything for a while. Whatever is asked for
   * comes first: this stops then, and what it has made so far is made.
   */
  #warmLater(task: BuildTask): void {
    clearTimeout(this.#warmSoon);
    this.#warmSoon = setTimeout(() => {
      if (this.#waiting.length > 0 || this.#threads.some(({ isBusy }) => isBusy)) return;
      const thread = this.#freeThread(task.folder);
      if (thread === undefined) return;
      thread.warming = new AbortController();
      this.#start(thread, {
        task: { ...task, purpose: 'warming' },
        hooks: { onProgress: () => undefined, signal: thread.warming.signal },
        resolve: () => undefined,
        // what is wrong will show when somebody asks
        reject: () => undefined,
      });
      thread.worker.unref();
    }, this.#warming_after_ms);
    this.#warmSoon.unref();
  }

  #next(): void {
    const first = this.#waiting[0];
    if (first === undefined) return;
    const thread = this.#freeThread(first.task.folder);
    if (thread === undefined) return;
    this.#waiting.shift();
    this.#start(thread, first);
    this.#next();
  }

  /** None while the one that is being made ready for the season stops doing so: it will be the quickest. */
  #freeThread(season: string): Thread | undefined {
    if (this.#threads.some(({ last, warming }) => warming !== undefined && last === season)) return undefined;
    const free = this.#threads.filter(({ isBusy }) => !isBusy);
    const known = free.find(({ last }) => last === season) ?? free.find(({ last }) => last === undefined);
    if (known !== undefined) return known;
    return this.#threads.length >= this.#size ? free[0] : this.#newThread();
  }

  #newThread(): Thread {
    const worker = new Worker(this.#script);
    // The program may end while threads wait for work.
    worker.unref();
    const thread: Thread = { worker, last: undefined, isBusy: false, warming: undefined };
    this.#threads.push(thread);
    this.#awaitIdly(thread);
    return thread;
  }

  /** A thread that ends while it has nothing to do is simply replaced. */
  #awaitIdly(thread: Thread): void {
    thread.worker.removeAllListeners();
    thread.worker.on('error', () => undefined);
    thread.worker.on('message', (news: WorkerNews) => this.#hear(thread.worker, news));
    thread.worker.on('exit', () => {
      this.#threads = this.#threads.filter((one) => one !== thread);
    });
  }

  #hear(worker: Worker, news: WorkerNews): void {
    if (news.kind === 'remark') this.#onRemark(news.folder, news.notice);
    const leaving = this.#leaving.get(worker);
    if (news.kind === 'left' && leaving?.folder === news.folder) leaving.done();
  }

  #start(thread: Thread, { task, hooks, resolve, reject }: Waiting): void {
    const { worker } = thread;
    const stop = new SharedArrayBuffer(4);
    let patience: NodeJS.Timeout | undefined;
    thread.isBusy = true;
    thread.last = task.folder;
    worker.removeAllListeners();
    worker.ref();
    const end = (settle: () => void) => {
      clearTimeout(patience);
      hooks.signal.removeEventListener('abort', onAbort);
      this.#awaitIdly(thread);
      worker.unref();
      thread.isBusy = false;
      thread.warming = undefined;
      settle();
      this.#next();
    };
    /** The thread is of no more use. */
    const lose = (settle: () => void) => {
      this.#threads = this.#threads.filter((one) => one !== thread);
      end(settle);
    };
    const onAbort = () => {
      Atomics.store(new Int32Array(stop), 0, 1);
      patience = setTimeout(() => {
        lose(() => resolve(cancelled()));
        void worker.terminate();
      }, this.#patience_ms);
    };
    hooks.signal.addEventListener('abort', onAbort, { once: true });
    worker.on('message', (news: WorkerNews) => {
      if (news.kind === 'progress') hooks.onProgress(news.stage, news.fraction);
      else if (news.kind === 'remark' || news.kind === 'left') this.#hear(worker, news);
      else if (news.kind === 'fault') end(() => reject(new WorkerFault(news.stack)));
      else {
        end(() => resolve(hooks.signal.aborted ? cancelled() : news.result));
        if (news.result.ok && news.result.value.isFromCache) this.#warmLater(task);
      }
    });
    worker.on('error', (caught) => {
      if (codeOf(caught) === 'ERR_WORKER_OUT_OF_MEMORY') lose(() => resolve(outOfMemory(task)));
      else lose(() => reject(caught));
    });
    worker.on('exit', () => lose(() => resolve(cancelled())));
    const order: WorkerOrder = { task, stop };
    worker.postMessage(order);
  }
}

/** Nobody waits longer than this for a cache to be written, ms. */
const MOST_LEAVING_MS = 3000;

function outOfMemory(task: BuildTask): Result<never> {
  const text =
    'The memory of this computer is not enough for this season; close other programs, or split the season into two.';
  return failure({ code: 'out_of_memory', source: task.folder, text });
}
