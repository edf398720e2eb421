/** Files looked into on worker threads, two at a time, so that the host goes on answering. */
import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import type { Result } from '../../core/errors.ts';
import { type InspectedFile, type InspectionWish, type Inspector, inspectPath } from './import-inspection.ts';
import { programFolder } from './program-version.ts';

/** What can be told to another thread; `stop` is one 32-bit number, and 1 asks the work to end. */
export interface InspectionOrder {
  readonly path: string;
  readonly name: string;
  readonly wish: Pick<InspectionWish, 'mappings' | 'mapping' | 'parts'>;
  readonly stop: SharedArrayBuffer;
}

export type InspectionNews =
  | { readonly kind: 'read'; readonly bytes: number }
  | { readonly kind: 'ended'; readonly result: Result<InspectedFile> }
  | { readonly kind: 'fault'; readonly caught: unknown };

/** As many as season builds have, too. */
const MOST_THREADS = 2;
/** Smaller files are read before a thread has begun. A choice of ours. */
const THREADED_BYTES = 128 << 10;
/** How often it is asked whether to stop. */
const ASKED_MS = 100;

export class InspectionThreads {
  readonly #idle: Worker[] = [];
  readonly #all: Worker[] = [];

  /** `inspectPath`, on a thread where the file is worth one; one is begun where none is idle. */
  readonly inspect: Inspector = async (path, name, wish) => {
    const found = await stat(path).catch(() => undefined);
    const isSmall = found === undefined || found.size < THREADED_BYTES;
    return isSmall ? inspectPath(path, name, wish) : this.#inspectAway(path, name, wish);
  };

  async close(): Promise<void> {
    await Promise.all(this.#all.map((worker) => worker.terminate()));
  }

  #inspectAway(path: string, name: string, wish: InspectionWish): Promise<Result<InspectedFile>> {
    return new Promise((resolve, reject) => {
      const worker = this.#idle.pop() ?? this.#begun();
      const stop = new SharedArrayBuffer(4);
      const asked = setInterval(() => {
        if (wish.shouldStop?.()) Atomics.store(new Int32Array(stop), 0, 1);
      }, ASKED_MS);
      const end = (settle: () => void) => {
        clearInterval(asked);
        worker.off('message', onNews).off('error', onError).off('exit', onExit);
        settle();
      };
      const onNews = (news: InspectionNews) => {
        if (news.kind === 'read') {
          wish.onRead?.(news.bytes);
          return;
        }
        end(() => (news.kind === 'ended' ? resolve(news.result) : reject(news.caught)));
        this.#idle.push(worker);
      };
      const onError = (caught: unknown) => end(() => reject(caught));
      const onExit = () => end(() => reject(new Error('a thread that looked into a file ended')));
      worker.on('message', onNews).on('error', onError).on('exit', onExit);
      const { mappings, mapping, parts } = wish;
      const order: InspectionOrder = { path, name, wish: { mappings, mapping, parts }, stop };
      worker.postMessage(order);
    });
  }

  #begun(): Worker {
    const worker = new Worker(join(programFolder(), 'dist', 'electron', 'host', 'inspection-worker.js'));
    this.#all.push(worker);
    return worker;
  }
}

/** Works through `tasks` two at a time; results stand in the order of the tasks. */
export async function twoAtATime<Task, Made>(
  tasks: readonly Task[],
  work: (task: Task, index: number) => Promise<Made>,
): Promise<Made[]> {
  const made: Made[] = [];
  let next = 0;
  const lane = async () => {
    for (let k = next++; k < tasks.length; k = next++) made[k] = await work(tasks[k], k);
  };
  await Promise.all(Array.from({ length: MOST_THREADS }, lane));
  return made;
}
