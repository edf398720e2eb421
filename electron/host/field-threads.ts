/**
 * Work on many fields, shared out among threads while this one works, too, and waits: the chain is one plain call from its
 * first step to its last, wherever it runs. What a thread does not bring back in time is done here; nothing depends on
 * who did it.
 */
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { MessageChannel, type MessagePort, receiveMessageOnPort, Worker } from 'node:worker_threads';
import { oneByOne, type Spread } from '../../core/spread.ts';
import { programFolder } from './program-version.ts';

export type FieldOrder =
  | { readonly kind: 'common'; readonly common: unknown }
  | { readonly kind: 'task'; readonly number: number; readonly name: string; readonly given: unknown };

export type FieldNews =
  | { readonly kind: 'ready' }
  | { readonly kind: 'made'; readonly number: number; readonly made: unknown };

/** Handed to the thread when it starts. `signal[0]` counts its news. */
export interface FieldThreadData {
  readonly port: MessagePort;
  readonly signal: Int32Array;
}

/** Fewer fields are done before a thread has started. */
const FEWEST_FIELDS = 8;
const MOST_THREADS = 3;
/** Handed over ahead, so that a thread need not wait for this one to look. */
const AHEAD = 2;
/** As many before this thread turns to something else for a second or two. */
const AHEAD_MEANWHILE = 24;
/** Longer than any field takes; a thread that is silent for so long has died. */
const PATIENCE_MS = 60_000;

interface Thread {
  readonly port: MessagePort;
  /** Numbers of the tasks that it has. */
  readonly open: Set<number>;
  isReady: boolean;
}

let threads: readonly Thread[] | undefined;
const signal = new Int32Array(new SharedArrayBuffer(4));

/** Shares the work out; on a machine with one core, or for few fields, all of it is done here. */
export const acrossThreads: Spread = (task, common, givens, meanwhile) => {
  if (!isWorthSharing(givens.length)) return oneByOne(task, common, givens, meanwhile);
  threads ??= startThreads();
  const made = new Array<ReturnType<typeof task.run>>(givens.length);
  for (const thread of threads) tell(thread, { kind: 'common', common });
  const take = (news: FieldNews, thread: Thread) => {
    if (news.kind === 'ready') thread.isReady = true;
    else if (thread.open.delete(news.number)) made[news.number] = news.made as (typeof made)[number];
  };
  let next = 0;
  const handOut = (to: readonly Thread[], ahead: number) => {
    for (const thread of to) {
      hear(thread, take);
      while (thread.isReady && thread.open.size < ahead && next < givens.length) {
        tell(thread, { kind: 'task', number: next, name: task.name, given: givens[next]() });
        thread.open.add(next++);
      }
    }
  };
  if (meanwhile !== undefined) {
    handOut(threads, AHEAD_MEANWHILE);
    meanwhile();
  }
  while (next < givens.length) {
    handOut(threads, AHEAD);
    if (next < givens.length) {
      made[next] = task.run(common, givens[next]());
      next++;
    }
  }
  for (const thread of threads) {
    awaitAll(thread, take);
    for (const number of thread.open) made[number] = task.run(common, givens[number]());
    thread.open.clear();
    tell(thread, { kind: 'common', common: undefined });
  }
  return made;
};

/** Starts the threads that so many fields will be shared with, so that they are ready when the first is to be done. */
export function readyThreadsFor(fields: number): void {
  if (isWorthSharing(fields)) threads ??= startThreads();
}

function isWorthSharing(fields: number): boolean {
  return fields >= FEWEST_FIELDS && availableParallelism() > 1;
}

function startThreads(): readonly Thread[] {
  return Array.from({ length: Math.min(MOST_THREADS, availableParallelism() - 1) }, startThread);
}

function startThread(): Thread {
  const { port1, port2 } = new MessageChannel();
  const workerData: FieldThreadData = { port: port2, signal };
  const script = join(programFolder(), 'dist', 'electron', 'host', 'field-worker.js');
  const worker = new Worker(script, { workerData, transferList: [port2] });
  // a thread that dies is not missed: see PATIENCE_MS
  worker.on('error', () => undefined);
  worker.unref();
  port1.unref();
  return { port: port1, open: new Set(), isReady: false };
}

function tell({ port }: Thread, order: FieldOrder): void {
  port.postMessage(order);
}

/** Takes what the thread has said since it was last heard. */
function hear(thread: Thread, take: (news: FieldNews, thread: Thread) => void): void {
  for (;;) {
    const received: { message: FieldNews } | undefined = receiveMessageOnPort(thread.port);
    if (received === undefined) return;
    take(received.message, thread);
  }
}

/** Waits until the thread has brought back all that it has, or has been silent for too long. */
function awaitAll(thread: Thread, take: (news: FieldNews, thread: Thread) => void): void {
  for (;;) {
    const seen = Atomics.load(signal, 0);
    hear(thread, take);
    if (thread.open.size === 0) return;
    if (Atomics.wait(signal, 0, seen, PATIENCE_MS) === 'timed-out') {
      thread.isReady = false;
      return;
    }
  }
}
